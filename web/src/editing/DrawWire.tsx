// Drawing a wire: two terminals, and what the study says of it before it is made.

import { For, Show, createEffect, onCleanup, onMount, untrack } from "solid-js";
import { letGo } from "../state/carry.ts";
import { asksTry, study, tryRefused, trying } from "../state/desk.ts";
import { narrow, setPhoneSide, setTool, tool, unit } from "../state/view.ts";
import { Said } from "../words/Said.tsx";
import { length } from "../words/numbers.ts";
import { plural } from "../words/say.ts";
import { putAway } from "./bench.ts";
import {
  AWG, COLOURS, MM2, afresh, colour, comes, edits, ends, from, isEnd, makeIt, nameIsTaken, note, ownName, proposed, ready, setColour,
  setFrom, setOwnName, setSize, setStripe, setTo, size, stripe, to, tried, wireName,
} from "./wiring.ts";

export function DrawWire() {
  onMount(() => {
    afresh();
    setTool("wire");
  });
  onCleanup(() => {
    letGo();
    if (tool() === "wire") setTool("hand");
  });
  createEffect(() => {
    // Follows every study that is not a try.
    study.wires.length;
    study.findings.length;
    if (!trying()) untrack(note);
  });
  let shown = false;
  createEffect(() => {
    if (ready()) {
      shown = true;
      asksTry(edits());
    } else if (shown) {
      shown = false;
      untrack(letGo);
    }
  });
  return (
    <section class="thing" data-making aria-label="Draw a wire">
      <div class="thing-head">
        <h3 tabindex="-1">Draw a wire</h3>
        <button type="button" class="quiet-button" aria-label="Close" onClick={putAway}>×</button>
      </div>
      <p>Click on one terminal and then on another<Show when={narrow()}> (<button type="button" class="link" onClick={() => { setTool("wire"); setPhoneSide("board"); }}>to the board</button>)</Show>, or type a few letters of their names.</p>
      <End id="wire-from" words="from" value={from()} put={setFrom} />
      <End id="wire-to" words="to" value={to()} put={setTo} />
      <Show when={from() !== "" && from() === to()}><p class="key-why">It would begin and end at the same terminal.</p></Show>
      <datalist id="wire-ends"><For each={ends()}>{(e) => <option value={e.end}>{e.words}</option>}</For></datalist>
      <div class="key">
        <label for="wire-size">size</label>
        <select id="wire-size" value={size()} onChange={(e) => setSize(e.currentTarget.value)}>
          <optgroup label="mm²"><For each={MM2}>{(n) => <option value={`${n} mm²`} selected={size() === `${n} mm²`}>{n} mm²</option>}</For></optgroup>
          <optgroup label="AWG"><For each={AWG}>{(n) => <option value={`${n} AWG`} selected={size() === `${n} AWG`}>{n} AWG</option>}</For></optgroup>
        </select>
      </div>
      <div class="key">
        <label for="wire-colour">colour</label>
        <select id="wire-colour" value={colour()} onChange={(e) => setColour(e.currentTarget.value)}>
          <option value="">as its function proposes</option>
          <For each={COLOURS}>{(c) => <option value={c}>{c}</option>}</For>
        </select>
      </div>
      <Show when={colour() !== ""}>
        <div class="key">
          <label for="wire-stripe">stripe</label>
          <select id="wire-stripe" value={stripe()} onChange={(e) => setStripe(e.currentTarget.value)}>
            <option value="">none</option>
            <For each={COLOURS.filter((c) => c !== colour())}>{(c) => <option value={c}>{c}</option>}</For>
          </select>
        </div>
      </Show>
      <div class="key">
        <label for="wire-name">name</label>
        <input id="wire-name" value={ownName() ?? wireName()} autocomplete="off" spellcheck={false} aria-invalid={nameIsTaken()} onInput={(e) => setOwnName(e.currentTarget.value)} />
        <Show when={nameIsTaken()}><p class="key-why">There is a wire of that name already.</p></Show>
      </div>
      <div class="advice" role="status" aria-live="polite">
        <Show when={tried()} fallback={<Show when={ready() && tryRefused()} fallback={<p class="quiet">{ready() ? "Looking what it leads to …" : "With both ends known you see here what it leads to, before it is made."}</p>}>{(why) => <p class="key-why"><Said text={why()} /></p>}</Show>}>
          {(w) => (
            <>
              <p>
                <b>{w().size}</b>, {w().cut_mm === null ? "it finds no way yet" : w().cut_mm === 0 ? "the part’s own lead" : <span class="number">cut {length(w().cut_mm ?? 0, unit())}</span>}.
                {" "}{comes().length === 0 ? "Nothing that must be said comes with it." : `With it ${comes().length === 1 ? "comes" : "come"} ${plural(comes().length, "finding")}:`}
              </p>
              <ul>
                <For each={comes().slice(0, 6)}>
                  {(f) => (
                    <li class={`finding ${f.severity}`}>
                      <span class="severity">{f.severity}</span> <Said text={f.what} />
                      <Show when={f.remedies[0]}>{(r) => <span class="quiet"> <Said text={r().text} /></span>}</Show>
                    </li>
                  )}
                </For>
              </ul>
              <Show when={comes().length > 6}><p class="quiet">And {comes().length - 6} more.</p></Show>
              <Show when={proposed()}>
                {(p) => <button type="button" onClick={() => setSize(p())}>Take {p()}</button>}
              </Show>
            </>
          )}
        </Show>
      </div>
      <div class="fields">
        <button type="button" class="main" disabled={!ready()} onClick={makeIt}>Make this wire</button>
        <button type="button" disabled={from() === "" && to() === ""} onClick={afresh}>Begin again</button>
      </div>
    </section>
  );
}

function End(props: { id: string; words: string; value: string; put: (text: string) => void }) {
  const wrong = () => props.value !== "" && !isEnd(props.value);
  return (
    <div class="key">
      <label for={props.id}>{props.words}</label>
      <input
        id={props.id} list="wire-ends" value={props.value} placeholder="part.terminal" autocomplete="off" spellcheck={false}
        aria-invalid={wrong()} onInput={(e) => props.put(e.currentTarget.value.trim())}
      />
    </div>
  );
}
