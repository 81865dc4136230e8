// Adding a part: find its type, see how large it is, say where it goes.

import { For, Show, createEffect, createMemo, createSignal, onCleanup, onMount } from "solid-js";
import type { Face, TypeOn } from "../talk.ts";
import { question, study } from "../state/desk.ts";
import { face, narrow, setPhoneSide, setTool, tool, turnOver, unit } from "../state/view.ts";
import { boxOf, middle, outlinePath } from "../board/geometry.ts";
import { found } from "../lists/found.ts";
import { lengthNumber, readLength } from "../words/numbers.ts";
import { begin, freeName, partNames, putAway } from "./bench.ts";
import { placeInZone, placeOnBoard, placing, resting, setGhost, setPlacing, setWanted, wanted } from "./placing.ts";

const MOST = 30;

export function AddPart() {
  const [types, setTypes] = createSignal<TypeOn[] | null>(null);
  const [find, setFind] = createSignal("");
  const [why, setWhy] = createSignal<string | null>(null);
  const take = (t: TypeOn) => {
    setPlacing({ type: t, name: freeName(t.name, partNames()) });
    if (study.sheet) setTool("place");
  };
  onMount(() => void (async () => {
    const told = await question({ ask: "library" });
    if (told.tell === "library") {
      setTypes(told.types);
      const found = told.types.find((t) => t.name === wanted());
      if (found) take(found);
      setWanted(null);
    }
    else if (told.tell === "refused") setWhy(told.why);
  })());
  onCleanup(() => {
    setPlacing(null);
    setGhost(null);
    if (tool() === "place") setTool("hand");
  });
  const hits = createMemo(() => {
    const all = (types() ?? []).filter((t) => found(find(), `${t.name} ${t.title} ${t.group} ${t.size}`));
    // A fuse block before the cover of a fuse block.
    const wanted = find().trim().toLocaleLowerCase();
    const first = (t: TypeOn) => (t.title.toLocaleLowerCase().startsWith(wanted) || t.name.startsWith(wanted) ? 0 : 1);
    return wanted === "" ? all : all.sort((a, b) => first(a) - first(b));
  });
  // All drawn at one scale, so that the sizes can be compared.
  const span = createMemo(() => {
    const sizes = hits().slice(0, MOST).map((t) => boxOf(t.outline)).map((b) => Math.max(b.x1 - b.x0, b.y1 - b.y0));
    return Math.max(20, ...sizes);
  });
  return (
    <section class="thing" data-making aria-label="Add a part">
      <div class="thing-head">
        <h3 tabindex="-1">Add a part</h3>
        <button type="button" class="quiet-button" aria-label="Close" onClick={putAway}>×</button>
      </div>
      <Show when={placing()} fallback={
        <>
          <label class="field grow"><span>Find a type</span><input type="search" value={find()} onInput={(e) => setFind(e.currentTarget.value)} placeholder="what it is: switch, fuse, lamp …" /></label>
          <p class="quiet">Not there? <button type="button" class="link" onClick={() => begin("type")}>Make a part type</button> from its measurements, a drawing or a photo.</p>
          <Show when={why()}>{(w) => <p class="key-why">{w()}</p>}</Show>
          <Show when={types()} fallback={<Show when={why() === null}><p class="quiet">Reading the library …</p></Show>}>
            <p class="quiet" role="status">{hits().length === 0 ? "Nothing in the library is called that." : hits().length > MOST ? `${hits().length} types; the first ${MOST} are shown, to one scale.` : `${hits().length} ${hits().length === 1 ? "type" : "types"}, to one scale.`}</p>
            <ul class="types">
              <For each={hits().slice(0, MOST)}>
                {(t) => (
                  <li>
                    <button type="button" onClick={() => take(t)}>
                      <Drawn type={t} span={span()} />
                      <span><b>{t.title}</b> <small>{t.name}, {t.size}{t.own ? ", your own" : ""}</small></span>
                    </button>
                  </li>
                )}
              </For>
            </ul>
          </Show>
        </>
      }>
        {(p) => <Where type={p().type} name={p().name} />}
      </Show>
    </section>
  );
}

function Drawn(props: { type: TypeOn; span: number }) {
  const view = () => {
    const m = middle(boxOf(props.type.outline));
    const s = props.span * 1.06;
    return `${m[0] - s / 2} ${-m[1] - s / 2} ${s} ${s}`;
  };
  return (
    <svg class="type-drawn" viewBox={view()} aria-hidden="true">
      <path transform="scale(1 -1)" d={outlinePath(props.type.outline)} vector-effect="non-scaling-stroke" />
    </svg>
  );
}

function Where(props: { type: TypeOn; name: string }) {
  const start = () => {
    const sheet = study.sheet;
    return sheet ? resting(middle(boxOf(sheet.outline)), props.type, face()) : ([0, 0] as [number, number]);
  };
  const first = start();
  const [x, setX] = createSignal(lengthNumber(first[0], unit()));
  const [y, setY] = createSignal(lengthNumber(first[1], unit()));
  const [zone, setZone] = createSignal(study.zones[0]?.name ?? "");
  const taken = () => partNames().has(props.name);
  const bad = () => props.name.trim() === "" || taken();
  const mm = () => [readLength(x(), unit()), readLength(y(), unit())] as const;
  // Where the numbers would put it shows on the board, as under the pointer.
  createEffect(() => {
    const [left, up] = mm();
    if (study.sheet && left !== null && up !== null) setGhost([left, up]);
  });
  let input!: HTMLInputElement;
  onMount(() => input.focus());
  return (
    <div class="making">
      <p><b>{props.type.title}</b> <span class="quiet">{props.type.size}</span></p>
      <p class="quiet">{props.type.about}</p>
      <div class="key">
        <label for="new-name">name</label>
        <input
          id="new-name" ref={input} value={props.name} autocomplete="off" spellcheck={false} aria-invalid={bad()} aria-describedby="new-name-why"
          onInput={(e) => setPlacing({ type: props.type, name: e.currentTarget.value.trim() })}
        />
        <p class="key-why" id="new-name-why">{taken() ? `There is a ${props.name} already.` : props.name === "" ? "It needs a name." : ""}</p>
      </div>
      <Show when={study.sheet}>
        <p>Click on the board where it goes<Show when={narrow()}> (<button type="button" class="link" disabled={bad()} onClick={() => { setTool("place"); setPhoneSide("board"); }}>to the board</button>)</Show>, or say it in numbers:</p>
        <div class="fields">
          <label class="field"><span>face</span>
            <select value={face()} onChange={(e) => turnOver(e.currentTarget.value as Face)}><option value="front">front</option><option value="back">back</option></select>
          </label>
          <label class="field"><span>x</span><input size="6" inputmode="decimal" value={x()} aria-invalid={mm()[0] === null} onInput={(e) => setX(e.currentTarget.value)} /></label>
          <label class="field"><span>y</span><input size="6" inputmode="decimal" value={y()} aria-invalid={mm()[1] === null} onInput={(e) => setY(e.currentTarget.value)} /><span class="quiet">{unit() === "mm" ? "mm" : "in"}</span></label>
          <button
            type="button" class="main" disabled={bad() || mm()[0] === null || mm()[1] === null}
            onClick={() => placeOnBoard({ type: props.type, name: props.name }, [mm()[0]!, mm()[1]!], face())}
          >Put it there</button>
        </div>
      </Show>
      <Show when={study.zones.length > 0}>
        <div class="fields">
          <label class="field"><span>or in a zone</span>
            <select value={zone()} onChange={(e) => setZone(e.currentTarget.value)}><For each={study.zones}>{(z) => <option value={z.name}>{z.name}</option>}</For></select>
          </label>
          <button type="button" disabled={bad() || zone() === ""} onClick={() => placeInZone({ type: props.type, name: props.name }, zone())}>Put it there in {zone()}</button>
        </div>
      </Show>
      <Show when={!study.sheet && study.zones.length === 0}>
        <p>There is no board yet that could carry it, and no zone of the body to put it into.</p>
        <div class="fields"><button type="button" class="main" onClick={() => begin("board")}>Make the board</button></div>
      </Show>
      <button type="button" class="link" onClick={() => { setPlacing(null); setGhost(null); setTool("hand"); }}>Another type</button>
    </div>
  );
}
