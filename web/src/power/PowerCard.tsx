// What is chosen on the diagram: what it is, which wires end at it, and the way to it on the board.

import { For, Show, createMemo } from "solid-js";
import { study } from "../state/desk.ts";
import { choose, chooseWire, chosen, chosenWire, goTo, setLooking, situation } from "../state/view.ts";
import { amps, celsius, drop } from "../words/numbers.ts";
import { placeOf } from "../findings/place.ts";

export function PowerCard(props: { there: (name: string) => boolean; drawn: (wire: string) => boolean }) {
  const name = () => (chosen().length === 1 ? chosen()[0]! : null);
  const wire = createMemo(() => study.wires.find((w) => w.name === chosenWire()));
  return (
    <Show when={name() !== null || wire()}>
      <div class="in-hand" role="group" aria-label="Chosen">
        <Show when={name()}>{(n) => <Thing name={n()} there={props.there(n())} />}</Show>
        <Show when={wire()}>
          {(w) => (
            <>
              <p><b>{w().name}</b> <span class="quiet">{w().from} to {w().to}, {w().size}</span></p>
              <Carries name={w().name} />
              <Show when={!props.drawn(w().name)}><p class="quiet">Not on this diagram: it shows supplies and motor wires.</p></Show>
              <ToBoard kind="wire" name={w().name} />
            </>
          )}
        </Show>
        <button type="button" class="quiet-button" aria-label="Put down" title="Put down (Escape)" onClick={() => { choose([]); chooseWire(null); }}>×</button>
      </div>
    </Show>
  );
}

function Thing(props: { name: string; there: boolean }) {
  const part = () => study.parts.find((p) => p.name === props.name);
  const plug = () => study.plugs.find((p) => p.name === props.name);
  const off = () => study.off_board.find((p) => p.name === props.name);
  const words = () => part()?.title ?? (plug() ? `plug to ${plug()!.zone}, ${plug()!.family}` : off() ? `${off()!.title}, ${off()!.zone}` : "");
  const ends = createMemo(() => study.wires.filter((w) => w.from.split(".")[0] === props.name || w.to.split(".")[0] === props.name));
  return (
    <>
      <p><b>{props.name}</b> <span class="quiet">{words()}</span></p>
      <Show when={!props.there}><p class="quiet">Not on this diagram: it shows supplies and motor wires.</p></Show>
      <Show when={ends().length > 0}>
        <label class="field">
          <span>Wires</span>
          <select value="" onChange={(e) => { if (e.currentTarget.value) chooseWire(e.currentTarget.value); }}>
            <option value="">{ends().length} end here …</option>
            <For each={ends()}>{(w) => <option value={w.name}>{w.name}: {w.from} to {w.to}</option>}</For>
          </select>
        </label>
      </Show>
      <ToBoard kind={plug() ? "plug" : "part"} name={props.name} />
    </>
  );
}

function Carries(props: { name: string }) {
  const here = () => situation()?.wires.find((w) => w.name === props.name);
  return (
    <Show when={here()}>
      {(w) => <p class="number">{amps(Math.abs(w().current_a))} · {drop(Math.abs(w().drop_v))}<Show when={w().temperature_c !== null}> · {celsius(w().temperature_c ?? 0)}</Show></p>}
    </Show>
  );
}

function ToBoard(props: { kind: string; name: string }) {
  const at = () => placeOf(props.kind, props.name);
  return (
    <Show when={at()} fallback={<p class="quiet">It is off the board.</p>}>
      {(spot) => <button type="button" onClick={() => { goTo(spot().at, spot().face); setLooking("board"); }}>Show on the board</button>}
    </Show>
  );
}
