// A new part on its way to the board: which type, and where it would lie.

import { batch, createSignal } from "solid-js";
import type { Edit, Face, Pt, TypeOn } from "../talk.ts";
import { make, say, study } from "../state/desk.ts";
import { choose, face, gridMm, setTool } from "../state/view.ts";
import { boxOf, middle } from "../board/geometry.ts";
import { tidy } from "../board/snap.ts";

/** Corners in hand, mm on the board: those of an outline close. */
export const [cornersGhost, setCornersGhost] = createSignal<{ points: Pt[]; closed: boolean } | null>(null);
/** The name of a type that is to be placed next: one that was made just now. */
export const [wanted, setWanted] = createSignal<string | null>(null);
export type Placing = { type: TypeOn; name: string };
export const [placing, setPlacing] = createSignal<Placing | null>(null);
export const [ghost, setGhost] = createSignal<Pt | null>(null);

/** On the grid, so that the part's own origin lies on it; the middle of the part is under the pointer. */
export function resting(at: Pt, type: TypeOn, on: Face): Pt {
  const m = middle(boxOf(type.outline));
  const mirror = on === "front" ? 1 : -1;
  const grid = gridMm();
  const near = (x: number) => tidy(grid > 0 ? Math.round(x / grid) * grid : x);
  return [near(at[0] - m[0] * mirror), near(at[1] - m[1])];
}

export function placeOnBoard(p: Placing, at: Pt, on: Face): void {
  const edits: Edit[] = [{ add: { on: { kind: "part", name: p.name }, keys: [
    ["type", { text: p.type.name }], ["face", { text: on }], ["at", { point_mm: at }],
  ] } }];
  put(p, edits);
}

export function placeInZone(p: Placing, zone: string): void {
  put(p, [{ add: { on: { kind: "part", name: p.name }, keys: [["type", { text: p.type.name }], ["zone", { text: zone }]] } }]);
}

function put(p: Placing, edits: Edit[]): void {
  const there = () => study.parts.some((x) => x.name === p.name) || study.off_board.some((x) => x.name === p.name);
  make(`Add ${p.name}`, edits, there);
  say(`Added ${p.name}`);
  batch(() => {
    setPlacing(null);
    setGhost(null);
    setTool("hand");
    choose([]);
  });
}

/** A click on the board while a type is in hand. */
export function placeAt(at: Pt): void {
  const p = placing();
  if (p) placeOnBoard(p, resting(at, p.type, face()), face());
}
