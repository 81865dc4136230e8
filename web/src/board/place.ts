// Where a thing is drawn while it is in the hand: the study's outline, carried along.

import type { Pt } from "../talk.ts";
import { held } from "../state/held.ts";
import { thingOf } from "../state/things.ts";
import type { Change } from "../state/carry.ts";
import { boxOf, middle, turned, wrapped } from "./geometry.ts";
import type { Box } from "./geometry.ts";
import { tidy } from "./snap.ts";

/** What can be carried: a part, a plug, or any other thing of the board. */
export type Placed = { name: string; face: string; at_mm: Pt; turn_deg: number; outline: readonly Pt[] };

/** On the back a turn runs the other way round in the board's frame. */
export function way(thing: { face: string }): 1 | -1 {
  return thing.face === "back" ? -1 : 1;
}

export function atOf(thing: Placed): Pt {
  return held().get(thing.name)?.at ?? [thing.at_mm[0], thing.at_mm[1]];
}
export function turnOf(thing: Placed): number {
  return held().get(thing.name)?.turn ?? thing.turn_deg;
}

/** The outline as it is drawn now. */
export function outlineOf(thing: Placed): Pt[] {
  const now = held().get(thing.name);
  const points = thing.outline.map(([x, y]): Pt => [x, y]);
  if (!now) return points;
  const [dx, dy] = [now.at[0] - thing.at_mm[0], now.at[1] - thing.at_mm[1]];
  const by = (now.turn - thing.turn_deg) * way(thing);
  const origin: Pt = [thing.at_mm[0], thing.at_mm[1]];
  return points.map((p) => {
    const [x, y] = by === 0 ? p : turned(p, origin, by);
    return [x + dx, y + dy];
  });
}

/** SVG transform that carries the study's outline to where it is drawn now. */
export function carried(thing: Placed): string | undefined {
  const now = held().get(thing.name);
  if (!now) return undefined;
  const [x, y] = thing.at_mm;
  const by = (now.turn - thing.turn_deg) * way(thing);
  const move = `translate(${now.at[0] - x} ${now.at[1] - y})`;
  return by === 0 ? move : `${move} rotate(${by} ${x} ${y})`;
}

export function boxNow(thing: Placed): Box {
  return boxOf(outlineOf(thing));
}

/** Turns a thing about its own middle, counter-clockwise as seen looking at its face. */
export function turnedAbout(name: string, by: number): Change | null {
  const thing = thingOf(name);
  if (!thing?.movable || !thing.turns) return null;
  const centre = middle(boxNow(thing));
  const at = turned(atOf(thing), centre, by * way(thing));
  return { name, at: [tidy(at[0]), tidy(at[1])], turn: tidy(wrapped(turnOf(thing) + by)) };
}

/**
 * Moves a part or plug to the other face so that it covers the same place. A fixed plug goes on facing the same
 * edge of the board, for which its turn is another over there.
 */
export function facedOver(name: string): Change | null {
  const thing = thingOf(name);
  if (!thing?.movable || (thing.kind !== "part" && thing.kind !== "plug")) return null;
  const face = thing.face === "front" ? "back" : "front";
  const at = atOf(thing);
  if (thing.kind === "plug") return { name, face, ...(thing.turns ? { turn: tidy(wrapped(180 - turnOf(thing))) } : {}) };
  const [cx] = middle(boxNow(thing));
  return { name, face, at: [tidy(2 * cx - at[0]), tidy(at[1])] };
}
