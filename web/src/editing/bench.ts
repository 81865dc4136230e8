// What lies on the bench beside the board: a thing with its keys, or something that is being made.

import { batch, createEffect, createSignal, on } from "solid-js";
import type { EditSubject } from "../talk.ts";
import { mayEdit, study } from "../state/desk.ts";
import { subjectOf } from "../state/things.ts";
import { choose, chosen, chosenWire, narrow, setPhoneSide, setTool } from "../state/view.ts";

export type Making = "part" | "wire" | "pass" | "type" | "board";
export type Bench = { on: EditSubject } | { add: Making } | null;
const [bench, setBench] = createSignal<Bench>(null);
export { bench };

export function putAway(): void {
  // Who was in it stays in the column.
  const within = document.activeElement?.closest(".thing") != null;
  batch(() => {
    setBench(null);
    setTool("hand");
  });
  if (within) queueMicrotask(() => document.querySelector<HTMLElement>(".page")?.focus({ preventScroll: true }));
}

/** The focus goes along to what is on the bench; on a phone not into a field, which would bring up its keys. */
function goIn(): void {
  queueMicrotask(() => {
    const head = document.querySelector<HTMLElement>(".thing-head h3");
    const field = narrow() ? null : document.querySelector<HTMLElement>(".thing[data-making] :is(input, select)");
    (field ?? head)?.focus({ preventScroll: true });
    document.querySelector(".page")?.scrollTo({ top: 0 });
  });
}

/** Shows the keys of a thing in the column. */
export function look(on: EditSubject): void {
  batch(() => {
    setTool("hand");
    setBench({ on });
    if (narrow()) setPhoneSide("words");
  });
  goIn();
}

export function begin(add: Making): void {
  if (!mayEdit()) return;
  batch(() => {
    choose([]);
    setTool("hand");
    setBench({ add });
    if (narrow()) setPhoneSide("words");
  });
  goIn();
}

/** While the keys of a thing are shown, they follow what is chosen on the board. */
export function follow(): void {
  createEffect(on([chosen, chosenWire], ([names, wire]) => {
    const now = bench();
    if (!now || !("on" in now)) return;
    if (wire !== null) setBench({ on: { kind: "wire", name: wire } });
    else if (names.length === 1) setBench({ on: subjectOf(names[0]!) });
  }, { defer: true }));
}

/** `fuses` is taken: `fuses-2`; and `lamp-2` is: `lamp-3`. */
export function freeName(wanted: string, taken: ReadonlySet<string>): string {
  if (!taken.has(wanted)) return wanted;
  const stem = wanted.replace(/-\d+$/u, "");
  for (let n = 2; ; n++) if (!taken.has(`${stem}-${n}`)) return `${stem}-${n}`;
}

/** Names that a new part or plug may not take. */
export function partNames(): Set<string> {
  return new Set([...study.parts, ...study.plugs, ...study.off_board].map((p) => p.name));
}
