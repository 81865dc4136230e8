// Where a part is drawn while it is in the hand: the study's outline, carried along.

import type { PartOn, Pt } from "../talk.ts";
import { held, partNamed } from "../state/desk.ts";
import type { Change } from "../state/desk.ts";
import { boxOf, middle, turned, wrapped } from "./geometry.ts";
import type { Box } from "./geometry.ts";
import { tidy } from "./snap.ts";

/** On the back a turn runs the other way round in the board's frame. */
export function way(part: { face: string }): 1 | -1 {
  return part.face === "front" ? 1 : -1;
}

export function atOf(part: PartOn): Pt {
  return held().get(part.name)?.at ?? [part.at_mm[0], part.at_mm[1]];
}
export function turnOf(part: PartOn): number {
  return held().get(part.name)?.turn ?? part.turn_deg;
}

/** The outline as it is drawn now. */
export function outlineOf(part: PartOn): Pt[] {
  const now = held().get(part.name);
  const points = part.outline.map(([x, y]): Pt => [x, y]);
  if (!now) return points;
  const [dx, dy] = [now.at[0] - part.at_mm[0], now.at[1] - part.at_mm[1]];
  const by = (now.turn - part.turn_deg) * way(part);
  const origin: Pt = [part.at_mm[0], part.at_mm[1]];
  return points.map((p) => {
    const [x, y] = by === 0 ? p : turned(p, origin, by);
    return [x + dx, y + dy];
  });
}

/** SVG transform that carries the study's outline to where it is drawn now. */
export function carried(part: PartOn): string | undefined {
  const now = held().get(part.name);
  if (!now) return undefined;
  const [x, y] = part.at_mm;
  const by = (now.turn - part.turn_deg) * way(part);
  const move = `translate(${now.at[0] - x} ${now.at[1] - y})`;
  return by === 0 ? move : `${move} rotate(${by} ${x} ${y})`;
}

export function boxNow(part: PartOn): Box {
  return boxOf(outlineOf(part));
}

/** Turns a part about its own middle, counter-clockwise as seen looking at its face. */
export function turnedAbout(name: string, by: number): Change | null {
  const part = partNamed(name);
  if (!part) return null;
  const centre = middle(boxNow(part));
  const at = turned(atOf(part), centre, by * way(part));
  return { name, at: [tidy(at[0]), tidy(at[1])], turn: tidy(wrapped(turnOf(part) + by)) };
}

/** Moves a part to the other face so that it covers the same place. */
export function facedOver(name: string): Change | null {
  const part = partNamed(name);
  if (!part) return null;
  const [cx] = middle(boxNow(part));
  const at = atOf(part);
  return { name, face: part.face === "front" ? "back" : "front", at: [tidy(2 * cx - at[0]), tidy(at[1])] };
}
