// What is chosen, in one line under the board: its place in numbers, and what can be done with it.

import { For, Show, createMemo } from "solid-js";
import { change, pickUp } from "../state/carry.ts";
import { mayEdit, study } from "../state/desk.ts";
import { subjectOf, thingOf } from "../state/things.ts";
import type { Thing } from "../state/things.ts";
import { choose, chooseWire, chosen, chosenWire, goTo, narrow, situation, unit } from "../state/view.ts";
import { amps, celsius, length, lengthNumber, readLength, watts } from "../words/numbers.ts";
import { listed } from "../words/say.ts";
import { Doing } from "../editing/Doing.tsx";
import { chosenPass, passNamed, setChosenPass } from "../editing/openings.ts";
import { aligned, spaced } from "./arrange.ts";
import type { Line, Move } from "./arrange.ts";
import { distance, gap, middle } from "./geometry.ts";
import { atOf, boxNow, facedOver, outlineOf, turnOf, turnedAbout } from "./place.ts";
import { tidy } from "./snap.ts";

export function Chosen() {
  const things = createMemo(() => chosen().map(thingOf).filter((t): t is Thing => t !== undefined));
  const off = createMemo(() => (chosen().length === 1 ? study.off_board.find((p) => p.name === chosen()[0]) : undefined));
  return (
    <Show when={chosen().length > 0 || chosenWire() !== null || passNamed(chosenPass())}>
      <div class="in-hand" role="group" aria-label="Chosen">
        <Show when={chosenWire()}>{(name) => <><OneWire name={name()} /><Doing on={{ kind: "wire", name: name() }} /></>}</Show>
        <Show when={chosen().length === 0 && chosenWire() === null && passNamed(chosenPass())}>
          {(p) => (
            <>
              <p><b>{p().name}</b> <span class="quiet">opening, {length(p().length_mm, unit())}{p().round ? " across" : ` by ${length(p().width_mm, unit())}`}</span></p>
              <Doing on={{ kind: "pass", name: p().name }} />
            </>
          )}
        </Show>
        <Show when={off()}>{(p) => <p><b>{p().name}</b> {p().title}, off the board: {p().zone}</p>}</Show>
        <Show when={things().length === 1 && things()[0]}>{(thing) => <One thing={thing()} />}</Show>
        <Show when={things().length > 1}><Several things={things()} /></Show>
        <button type="button" class="quiet-button" aria-label="Put down" title="Put down (Escape)" onClick={() => { choose([]); chooseWire(null); setChosenPass(null); }}>×</button>
      </div>
    </Show>
  );
}

function One(props: { thing: Thing }) {
  const p = () => props.thing;
  const put = (axis: 0 | 1, text: string): boolean => {
    const value = readLength(text, unit());
    if (value === null) return false;
    const at = atOf(p());
    if (Math.abs(value - at[axis]) < 0.005) return true;
    const to: [number, number] = axis === 0 ? [tidy(value), at[1]] : [at[0], tidy(value)];
    pickUp([p().name]);
    change(`Put ${p().called} at ${length(to[0], unit())}, ${length(to[1], unit())}`, [{ name: p().name, at: to }]);
    return true;
  };
  const turnBy = (by: number) => {
    const c = turnedAbout(p().name, by);
    if (!c) return;
    pickUp([p().name]);
    change(`Turn ${p().called} by ${by}°`, [c]);
  };
  const turnTo = (text: string): boolean => {
    const value = Number(text.replace(",", ".").replace("°", "").trim());
    if (text.trim() === "" || !Number.isFinite(value) || Math.abs(value) > 360) return false;
    if (Math.abs(value - turnOf(p())) >= 0.005) turnBy(tidy(value - turnOf(p())));
    return true;
  };
  const over = () => {
    const c = facedOver(p().name);
    if (!c) return;
    const to = p().face === "front" ? "back" : "front";
    const there = middle(boxNow(p()));
    pickUp([p().name]);
    change(`Move ${p().called} to the ${to}`, [c]);
    goTo(there, to);
  };
  const watt = () => situation()?.parts.find((x) => x.name === p().name);
  return (
    <>
      <p><b>{p().called}</b> <span class="quiet">{p().title}</span>
        <Show when={watt()}>{(w) => <span class="number"> · {watts(w().power_w)} of heat</span>}</Show>
      </p>
      <Show when={narrow() || !mayEdit()}>
        <p class="number">{length(atOf(p())[0], unit())} from the left, {length(atOf(p())[1], unit())} up</p>
      </Show>
      <Show when={p().movable && !narrow() && mayEdit()} fallback={<Show when={!p().movable && mayEdit()}><p class="quiet">{p().kind === "keep-out" ? "Its corners are written one by one, so it is moved in the files." : "Its place is not in the robot’s own files, so it stays."}</p></Show>}>
        <div class="fields">
          <Field label="x" value={lengthNumber(atOf(p())[0], unit())} unit={unit() === "mm" ? "mm" : "in"} put={(t) => put(0, t)} />
          <Field label="y" value={lengthNumber(atOf(p())[1], unit())} unit={unit() === "mm" ? "mm" : "in"} put={(t) => put(1, t)} />
          <Show when={p().turns}>
            <Field label="turn" value={String(turnOf(p()))} unit="°" put={turnTo} />
            <button type="button" onClick={() => turnBy(90)} title="Turn by 90° to the left (R)" aria-label="Turn by 90° to the left">⟲ 90°</button>
            <button type="button" onClick={() => turnBy(-90)} title="Turn by 90° to the right (Shift R)" aria-label="Turn by 90° to the right">⟳ 90°</button>
          </Show>
          <Show when={p().kind === "part" || p().kind === "plug"}>
            <button type="button" onClick={over}>To the {p().face === "front" ? "back" : "front"}</button>
          </Show>
        </div>
      </Show>
      <Doing on={subjectOf(p().name)} />
    </>
  );
}

function Field(props: { label: string; value: string; unit: string; put: (text: string) => boolean }) {
  let input!: HTMLInputElement;
  // Only another number is written over what is being typed.
  const value = createMemo(() => props.value);
  const done = () => {
    const ok = props.put(input.value);
    input.setAttribute("aria-invalid", String(!ok));
    if (!ok) input.title = "Type a number, like 120 or 12.5";
  };
  return (
    <label class="field">
      <span>{props.label}</span>
      <input
        ref={input} inputmode="decimal" value={value()} size="6"
        onChange={done}
        onKeyDown={(e) => {
          if (e.key === "Escape") {
            input.value = props.value;
            input.blur();
          }
          e.stopPropagation();
        }}
      />
      <span class="quiet">{props.unit}</span>
    </label>
  );
}

const LINES: readonly [Line, string][] = [
  ["left", "left edges"], ["up", "centres in a column"], ["right", "right edges"], ["top", "upper edges"],
  ["across", "centres in a row"], ["bottom", "lower edges"],
];

function Several(props: { things: Thing[] }) {
  const placed = () => props.things.filter((p) => p.movable).map((p) => ({ name: p.name, at: atOf(p), box: boxNow(p) }));
  const make = (words: string, moves: Move[]) => {
    pickUp(moves.map((m) => m.name));
    change(words, moves.map((m) => ({ name: m.name, at: [tidy(m.to[0]), tidy(m.to[1])] })));
  };
  const names = () => listed(props.things.map((p) => p.called));
  const between = createMemo(() => {
    const [a, b] = props.things;
    if (props.things.length !== 2 || !a || !b || a.outline.length < 3 || b.outline.length < 3) return null;
    return { gap: gap(outlineOf(a), outlineOf(b)).mm, apart: distance(middle(boxNow(a)), middle(boxNow(b))) };
  });
  return (
    <>
      <p><b>{props.things.length} {props.things.every((t) => t.kind === "part") ? "parts" : "things"}</b> <span class="quiet">{names()}</span>
        <Show when={between()}>
          {(b) => <span class="number"> · {b().gap === 0 ? "they touch" : `${length(b().gap, unit())} of air between them`}, middles {length(b().apart, unit())} apart</span>}
        </Show>
      </p>
      <Show when={mayEdit()}>
        <div class="fields">
          <label class="field">
            <span>Line up</span>
            <select onChange={(e) => {
              const line = e.currentTarget.value as Line | "";
              e.currentTarget.value = "";
              const words = LINES.find(([l]) => l === line)?.[1];
              if (line !== "" && words) make(`Line up ${names()} by their ${words}`, aligned(placed(), line));
            }}>
              <option value="">choose …</option>
              <For each={LINES}>{([line, words]) => <option value={line}>{words}</option>}</For>
            </select>
          </label>
          <Show when={placed().length >= 3}>
            <button type="button" onClick={() => make(`Space ${names()} evenly across`, spaced(placed(), "across"))}>Space evenly across</button>
            <button type="button" onClick={() => make(`Space ${names()} evenly upward`, spaced(placed(), "up"))}>Space evenly upward</button>
          </Show>
        </div>
      </Show>
    </>
  );
}

function OneWire(props: { name: string }) {
  const wire = () => study.wires.find((w) => w.name === props.name);
  const row = () => situation()?.wires.find((w) => w.name === props.name);
  return (
    <Show when={wire()}>
      {(w) => (
        <p>
          <b>{w().name}</b> <span class="quiet">from {w().from} to {w().to}, {w().size}
            <Show when={w().cut_mm !== null}>, {w().cut_mm === 0 ? "the part’s own lead" : `cut ${length(w().cut_mm ?? 0, unit())}`}</Show>
            <Show when={w().loom !== null}>, in loom {w().loom}</Show></span>
          <Show when={row()}>
            {(r) => (
              <span class="number"> · {amps(Math.abs(r().current_a))}
                <Show when={r().temperature_c !== null}>, {celsius(r().temperature_c ?? 0)}</Show>
                <Show when={r().limit_c !== null}> of {celsius(r().limit_c ?? 0)}</Show></span>
            )}
          </Show>
        </p>
      )}
    </Show>
  );
}
