// Moving things of the board about: shown at once, tried by the desk, made as one step.

import { batch } from "solid-js";
import type { Edit, Pt } from "../talk.ts";
import type { Found } from "../talk/hand.ts";
import { asksTry, dropTry, makeEdits, mayEdit, waits } from "./desk.ts";
import { held, setHeld } from "./held.ts";
import { subjectOf, thingOf } from "./things.ts";

/** One thing to change about one thing. */
export type Change = { name: string; at?: Pt; turn?: number; face?: "front" | "back" };

function editsOf(changes: readonly Change[]): Edit[] {
  return changes.flatMap((c) => {
    const on = subjectOf(c.name);
    const edits: Edit[] = [];
    if (c.face) edits.push({ set: { on, key: "face", value: { text: c.face } } });
    if (c.at) edits.push({ set: { on, key: "at", value: { point_mm: c.at } } });
    if (c.turn !== undefined) edits.push({ set: { on, key: "turn", value: { angle_deg: c.turn } } });
    return edits;
  });
}

/** Shows the changes at once and asks the desk what they lead to; nothing is kept. */
export function tryOut(changes: readonly Change[]): void {
  if (!mayEdit()) return;
  hold(changes);
  asksTry(editsOf(changes));
}

/** Makes the changes as one step that can be undone. */
export function change(words: string, changes: readonly Change[]): void {
  if (changes.length === 0 || !mayEdit()) return;
  hold(changes);
  const before = changes.map((c) => {
    const thing = origins.get(c.name) ?? here(c.name);
    return { change: c, ...thing };
  });
  origins.clear();
  makeEdits(words, editsOf(changes), (): Found => {
    const near = (a: Pt, b: Pt) => Math.hypot(a[0] - b[0], a[1] - b[1]) < 0.01;
    const now = before.map((b) => ({ ...b, part: here(b.change.name) }));
    const taken = now.every(({ change: c, part }) =>
      part.at && (!c.at || near(c.at, part.at)) && (c.turn === undefined || Math.abs(c.turn - part.turn) < 0.01)
        && (!c.face || c.face === part.face));
    if (taken) return "taken";
    const untouched = now.every(({ at, turn, face, part }) =>
      at && part.at && near(at, part.at) && turn === part.turn && face === part.face);
    return untouched ? "untouched" : "changed";
  });
}

type Place = { at: Pt | null; turn: number; face: string };
function here(name: string): Place {
  const thing = thingOf(name);
  return thing ? { at: [thing.at_mm[0], thing.at_mm[1]], turn: thing.turn_deg, face: thing.face } : { at: null, turn: 0, face: "" };
}

/** Where held things lay in the files before they were taken in hand; a try moves them in the study too. */
const origins = new Map<string, Place>();

/** Remembers where the things lie before they are moved about. */
export function pickUp(names: readonly string[]): void {
  origins.clear();
  for (const name of names) {
    const now = here(name);
    const waiting = waits() ? held().get(name) : undefined;
    origins.set(name, waiting ? { ...now, at: waiting.at, turn: waiting.turn } : now);
  }
}

function hold(changes: readonly Change[]): void {
  const next = new Map(held());
  for (const c of changes) {
    const thing = thingOf(c.name);
    // On the other face the outline is another; it shows when the desk has placed it.
    if (!thing || c.face) continue;
    const now = next.get(c.name) ?? { at: [thing.at_mm[0], thing.at_mm[1]] as Pt, turn: thing.turn_deg };
    next.set(c.name, { at: c.at ?? now.at, turn: c.turn ?? now.turn });
  }
  setHeld(next);
}

/** Puts down what is in hand where it was. */
export function letGo(): void {
  batch(() => {
    setHeld(new Map());
    origins.clear();
    dropTry();
  });
}
