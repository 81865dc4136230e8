// How it is made: order of work, drill plan, lists to tick off, and what is printed.

import { For, Match, Show, Switch, createMemo, createSignal } from "solid-js";
import type { JSX } from "solid-js";
import type { MakeOn, TickList } from "../talk.ts";
import { deepIsOld, making, tick, ticks } from "../state/desk.ts";
import { Cuts } from "./Cuts.tsx";
import { Fasteners, Shopping } from "./Lists.tsx";
import { Papers } from "./Papers.tsx";
import { Stages, Steps } from "./Work.tsx";
import { count, itemsOf, stateOf } from "./ticks.ts";
import type { Item } from "./ticks.ts";

type Sheet = "step" | "stage" | "cut" | "fastener" | "shopping" | "papers";
const SHEETS: readonly [Exclude<Sheet, "papers">, string, string][] = [
  ["step", "Order of work", "done"], ["stage", "Drill plan", "drilled"], ["cut", "Wires to cut", "cut"],
  ["fastener", "Screws and what goes with them", "set"], ["shopping", "Shopping", "bought"],
];
const [sheet, setSheet] = createSignal<Sheet>("step");

export function Make() {
  return (
    <section class="make" aria-label="Make">
      <Show when={making()} fallback={<p class="empty">How it is made is worked out as soon as your hand rests: the order of work, what to drill and with what, the length of every wire, the screws, and what to buy.</p>}>
        {(m) => <Sheets make={m()} />}
      </Show>
    </section>
  );
}

function Sheets(props: { make: MakeOn }) {
  const counts = createMemo(() => SHEETS.map(([list, , done]) => {
    const c = count(ticks().ticks, list, itemsOf(props.make, list));
    return { list, words: `${c.done} of ${c.all} ${done}`, other: c.other };
  }));
  const here = () => counts().find((c) => c.list === sheet());
  return (
    <>
      <label class="field grow make-choice">
        <span>Show</span>
        <select value={sheet()} onChange={(e) => setSheet(e.currentTarget.value as Sheet)}>
          <For each={SHEETS}>{([list, words], i) => <option value={list}>{words}: {counts()[i()]?.words}</option>}</For>
          <option value="papers">Book and templates</option>
        </select>
      </label>
      <Show when={ticks().why}>{(why) => <p class="outcome" role="status">{why()}</p>}</Show>
      <Show when={here()}>
        {(c) => (
          <p class="counted" role="status"><b>{c().words}</b><Show when={c().other > 0}>; {c().other} since changed</Show></p>
        )}
      </Show>
      <Switch>
        <Match when={sheet() === "step"}><Steps make={props.make} /></Match>
        <Match when={sheet() === "stage"}><Stages make={props.make} /></Match>
        <Match when={sheet() === "cut"}><Cuts make={props.make} /></Match>
        <Match when={sheet() === "fastener"}><Fasteners make={props.make} /></Match>
        <Match when={sheet() === "shopping"}><Shopping make={props.make} /></Match>
        <Match when={sheet() === "papers"}><Papers paper={props.make.paper} /></Match>
      </Switch>
      <Show when={deepIsOld()}><p class="older" role="status">Older than your last move; follows when your hand rests.</p></Show>
    </>
  );
}

/** A box to tick, with its words. */
export function TickBox(props: { list: TickList; item: Item; label: string; children?: JSX.Element }) {
  const state = () => stateOf(ticks().ticks, props.list, props.item);
  return (
    <label class="tick">
      <input
        type="checkbox" checked={state() !== "open"} aria-label={props.label} disabled={ticks().why !== undefined}
        onChange={(e) => tick(props.list, props.item.key, props.item.said, e.currentTarget.checked)}
      />
      {props.children}
    </label>
  );
}
