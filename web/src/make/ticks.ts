// What is ticked off of a list, and what was ticked off when it was another size.

import type { CutOn, MakeOn, ShopOn, Tick, TickList } from "../talk.ts";

/** Something that can be ticked off: its key, and what is said of it when it is. */
export type Item = { key: string; said: string };

export type State = "open" | "done" | "other";

export const cutSaid = (c: CutOn): string => `${c.cut_mm} mm`;
export const shopSaid = (s: ShopOn): string => `${s.buy} ${s.unit}`;

/** The things of each list that can be ticked off: not what needs nothing. */
export function itemsOf(make: MakeOn, list: TickList): Item[] {
  switch (list) {
    case "step": return make.steps.map((s) => ({ key: s.key, said: "" }));
    case "stage": return make.stages.map((s) => ({ key: s.key, said: "" }));
    case "cut": return make.cuts.filter((c) => c.cut_mm > 0).map((c) => ({ key: c.wire, said: cutSaid(c) }));
    case "fastener": return make.fasteners.map((f) => ({ key: f.key, said: "" }));
    case "shopping": return make.shopping.map((s) => ({ key: s.item, said: shopSaid(s) }));
  }
}

/** What was said when it was ticked off; `undefined`: it is not. */
export function saidOf(ticks: readonly Tick[], list: TickList, key: string): string | undefined {
  return ticks.find((t) => t.list === list && t.name === key)?.said;
}

export function stateOf(ticks: readonly Tick[], list: TickList, item: Item): State {
  const said = saidOf(ticks, list, item.key);
  return said === undefined ? "open" : said === item.said ? "done" : "other";
}

export function count(ticks: readonly Tick[], list: TickList, items: readonly Item[]): { done: number; other: number; all: number } {
  const said = new Map(ticks.filter((t) => t.list === list).map((t) => [t.name, t.said]));
  const there = items.filter((i) => said.has(i.key));
  const done = there.filter((i) => said.get(i.key) === i.said).length;
  return { done, other: there.length - done, all: items.length };
}
