// From the diagram to the screen and back; y down, as it is drawn.

import type { Pt } from "../talk.ts";

export type Rect = { x: number; y: number; w: number; h: number };
/** Upper left corner of the picture in the diagram, mm; pixels a millimetre; size of the picture, pixels. */
export type Look = { x: number; y: number; k: number; w: number; h: number };

export const LEAST = 0.2;
export const MOST = 20;

const held = (k: number) => Math.min(MOST, Math.max(LEAST, k));

export function zoomed(f: Look, factor: number, at: Pt): Look {
  const k = held(f.k * factor);
  return { ...f, k, x: f.x + at[0] / f.k - at[0] / k, y: f.y + at[1] / f.k - at[1] / k };
}

export function panned(f: Look, dx: number, dy: number): Look {
  return { ...f, x: f.x - dx / f.k, y: f.y - dy / f.k };
}

/** All of it, with `top` pixels free above and `side` elsewhere. */
export function fitted(f: Look, box: Rect, side: number, top: number): Look {
  const k = held(Math.min(Math.max(1, f.w - 2 * side) / box.w, Math.max(1, f.h - top - side) / box.h));
  return { ...f, k, x: box.x + box.w / 2 - f.w / 2 / k, y: box.y + box.h / 2 - (f.h + top - side) / 2 / k };
}

/** As a first look: all of it when that can be read, else its left end, as high as there is room. */
export function begun(f: Look, box: Rect, side: number, top: number, readable: number): Look {
  const whole = fitted(f, box, side, top);
  if (whole.k >= readable) return whole;
  const k = held(Math.min(readable, Math.max(1, f.h - top - side) / box.h));
  return k <= whole.k ? whole : { ...whole, k, x: box.x - side / k, y: box.y + box.h / 2 - (f.h + top - side) / 2 / k };
}

/** Brings `box` into the picture if it is not well inside it, near enough to read. */
export function showing(f: Look, box: Rect, leastK: number): Look {
  const k = Math.max(f.k, leastK);
  const [left, top] = [(box.x - f.x) * f.k, (box.y - f.y) * f.k];
  const inside = left > 10 && top > 50 && left + box.w * f.k < f.w - 10 && top + box.h * f.k < f.h - 90;
  if (inside && k === f.k) return f;
  return { ...f, k, x: box.x + box.w / 2 - f.w / 2 / k, y: box.y + box.h / 2 - f.h / 2 / k };
}

/** The nearest box in a direction of the screen; what lies mostly ahead is preferred to what lies aside. */
export function next(boxes: readonly (Rect & { name: string })[], from: string, dx: number, dy: number): string | null {
  const start = boxes.find((b) => b.name === from);
  if (!start) return boxes[0]?.name ?? null;
  let best: { name: string; cost: number } | null = null;
  for (const b of boxes) {
    if (b === start) continue;
    const x = b.x + b.w / 2 - start.x - start.w / 2;
    const y = b.y + b.h / 2 - start.y - start.h / 2;
    const ahead = x * dx + y * dy;
    if (ahead <= 0.5) continue;
    const cost = ahead + 2 * (Math.abs(x * dy) + Math.abs(y * dx));
    if (!best || cost < best.cost) best = { name: b.name, cost };
  }
  return best?.name ?? null;
}
