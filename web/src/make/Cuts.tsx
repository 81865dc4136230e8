// The wires to cut, reel by reel, longest first.

import { For, Show, createMemo } from "solid-js";
import type { CutOn, MakeOn } from "../talk.ts";
import { tick, ticks } from "../state/desk.ts";
import { chooseWire, chosenWire, goTo, unit } from "../state/view.ts";
import { placeOf } from "../findings/place.ts";
import { length } from "../words/numbers.ts";
import { TickBox } from "./Make.tsx";
import { cutSaid, saidOf, stateOf } from "./ticks.ts";

export function Cuts(props: { make: MakeOn }) {
  const reels = createMemo(() => {
    const all = new Map<string, CutOn[]>();
    for (const c of props.make.cuts) all.set(c.reel, [...(all.get(c.reel) ?? []), c]);
    return [...all];
  });
  return (
    <Show when={props.make.cuts.length > 0} fallback={<p class="empty">Nothing to cut yet. Every wire that you describe stands here with its length, reel by reel.</p>}>
      <For each={reels()}>
        {([reel, cuts]) => (
          <section class="reel">
            <h3>{reel}</h3>
            <table class="list">
              <thead class="unseen"><tr><th scope="col">cut</th><th scope="col">wire</th><th scope="col">length</th></tr></thead>
              <tbody><For each={cuts}>{(c) => <Cut cut={c} />}</For></tbody>
            </table>
          </section>
        )}
      </For>
    </Show>
  );
}

function Cut(props: { cut: CutOn }) {
  const c = () => props.cut;
  const item = () => ({ key: c().wire, said: cutSaid(c()) });
  const state = () => stateOf(ticks().ticks, "cut", item());
  const was = () => parseFloat(saidOf(ticks().ticks, "cut", c().wire) ?? "");
  const go = () => {
    chooseWire(c().wire);
    const at = placeOf("wire", c().wire);
    if (at) goTo(at.at, at.face);
  };
  return (
    <tr classList={{ here: chosenWire() === c().wire, ticked: state() === "done" }}>
      <td class="words"><Show when={c().cut_mm > 0}><TickBox list="cut" item={item()} label={`${c().wire} is cut`} /></Show></td>
      <th scope="row">
        <button type="button" class="link" onClick={go}>
          <svg class="swatch" viewBox="0 0 18 8" aria-hidden="true"><path d="M1 4H17" class="swatch-edge" /><path d="M1 4H17" stroke={/^#[0-9a-f]{6}$/iu.test(c().colour) ? c().colour : "currentColor"} stroke-width="4.5" /></svg>
          {c().wire}
        </button>
        <For each={[c().from, c().to]}>
          {(e) => <small>{e.at}: {e.fit}<Show when={e.strip_mm > 0}>, strip {length(e.strip_mm, unit())}</Show></small>}
        </For>
        <Show when={c().note}><small>{c().note}</small></Show>
        <Show when={state() === "other"}>
          <p class="changed">You cut it to {Number.isFinite(was()) ? length(was(), unit()) : "another length"}; now it wants {length(c().cut_mm, unit())}. <button type="button" onClick={() => tick("cut", c().wire, cutSaid(c()), true)}>It is {length(c().cut_mm, unit())} now</button></p>
        </Show>
      </th>
      <td class="cut-length">{c().cut_mm > 0 ? length(c().cut_mm, unit()) : "own lead"}</td>
    </tr>
  );
}
