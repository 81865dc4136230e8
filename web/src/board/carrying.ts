// Carrying things about with the hand: what moves, what it may come to rest on, where it lies just now.

import { batch, createSignal } from "solid-js";
import type { Pt } from "../talk.ts";
import { change, letGo, pickUp, tryOut } from "../state/carry.ts";
import type { Change } from "../state/carry.ts";
import { mayEdit, study } from "../state/desk.ts";
import { setDragging } from "../state/held.ts";
import { called, thingOf, thingsOn } from "../state/things.ts";
import type { Thing } from "../state/things.ts";
import { face, frame, gridMm, unit } from "../state/view.ts";
import { length } from "../words/numbers.ts";
import { listed } from "../words/say.ts";
import type { Box } from "./geometry.ts";
import { boxOf, join } from "./geometry.ts";
import { restsOf, snapped, tidy } from "./snap.ts";
import type { Rest, Rests } from "./snap.ts";

export type Guides = { x: Rest | null; y: Rest | null };
const [guides, setGuides] = createSignal<Guides>({ x: null, y: null });
export { guides };

export type Carry = { names: string[]; box: Box; anchor: Pt; starts: Map<string, Pt>; rests: Rests; from: Pt; last: Change[] };

/** Chosen by a first click before a drag moves them: what carries the board, and what takes up much of it. */
export const wantsChoosing = (key: string): boolean => {
  const kind = thingOf(key)?.kind;
  return kind === "board-mount" || kind === "keep-out";
};

/** The things' box, place and the lines they may come to rest on; null when none of them can be moved. */
export function carryOf(names: readonly string[], from: Pt): Carry | null {
  const things = names.map(thingOf).filter((t): t is Thing => t !== undefined && t.movable);
  const first = things[0];
  if (!first || !mayEdit()) return null;
  const moving = new Set(things.map((p) => p.name));
  const still = thingsOn(face()).filter((t) => !moving.has(t.name));
  const others = still.filter((t) => t.kind !== "board-mount").map((p) => ({ name: p.called, box: boxOf(p.outline) }));
  if (study.sheet) others.push({ name: "the board", box: boxOf(study.sheet.outline) });
  const holes = [
    ...still.filter((t) => t.kind === "board-mount").map((m) => ({ name: m.called, at: [m.at_mm[0], m.at_mm[1]] as Pt })),
    ...(study.sheet?.passes ?? []).map((m) => ({ name: m.name, at: [m.at_mm[0], m.at_mm[1]] as Pt })),
  ];
  return {
    names: things.map((p) => p.name),
    box: things.map((p) => boxOf(p.outline)).reduce(join),
    anchor: [first.at_mm[0], first.at_mm[1]],
    starts: new Map(things.map((p) => [p.name, [p.at_mm[0], p.at_mm[1]] as Pt])),
    rests: restsOf(others, holes),
    from,
    last: [],
  };
}

export function takeUp(carry: Carry): void {
  pickUp(carry.names);
  setDragging(true);
}

/** Moves what is carried to where the hand is; `free` of grid and neighbours. */
export function carryTo(carry: Carry, now: Pt, free: boolean): void {
  const shift: Pt = [now[0] - carry.from[0], now[1] - carry.from[1]];
  const none: Rests = { x: [], y: [] };
  const s = snapped(shift, carry.box, carry.anchor, free ? none : carry.rests, 7 / frame().k, free ? 0 : gridMm());
  carry.last = carry.names.map((name) => {
    const start = carry.starts.get(name)!;
    return { name, at: [tidy(start[0] + s.dx), tidy(start[1] + s.dy)] };
  });
  batch(() => {
    setGuides({ x: s.x, y: s.y });
    tryOut(carry.last);
  });
}

export function drop(carry: Carry): void {
  const first = carry.last[0];
  const start = first ? carry.starts.get(first.name) : undefined;
  batch(() => {
    setDragging(false);
    setGuides({ x: null, y: null });
    if (!first?.at || !start) return letGo();
    const [dx, dy] = [first.at[0] - start[0], first.at[1] - start[1]];
    if (Math.abs(dx) < 0.005 && Math.abs(dy) < 0.005) return letGo();
    change(moveWords(carry.names, dx, dy), carry.last);
  });
}

export function putBack(): void {
  batch(() => {
    setDragging(false);
    letGo();
    setGuides({ x: null, y: null });
  });
}

/** "Move heart 3 mm right and 2 mm up", as seen looking at the front; on the back left and right change. */
export function moveWords(names: readonly string[], dx: number, dy: number): string {
  const across = face() === "front" ? dx : -dx;
  const ways = [
    Math.abs(across) >= 0.005 ? `${length(Math.abs(across), unit())} ${across > 0 ? "right" : "left"}` : "",
    Math.abs(dy) >= 0.005 ? `${length(Math.abs(dy), unit())} ${dy > 0 ? "up" : "down"}` : "",
  ].filter((w) => w !== "");
  return `Move ${listed(names.map(called))} ${ways.join(" and ")}`.trim();
}
