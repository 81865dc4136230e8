// A photo under the drawing: which spot of it is which place of the part.

import type { Pt } from "../talk.ts";

/** How a known distance runs on the part. */
export type Runs = "across" | "up" | "any";
export type Scale = { a: Pt; b: Pt; mm: number; runs: Runs };

/** From spots of the photo (x right, y down, pixels) to millimetres of the part (x right, y up). */
export type Fit = { mmPerPixel: number; turn: number; origin: Pt };

/** Two spots a known distance apart give the scale; and how the photo is turned, when the way between them runs straight. */
export function fitted(s: Scale, origin: Pt = [0, 0]): Fit | null {
  const [dx, dy] = [s.b[0] - s.a[0], -(s.b[1] - s.a[1])];
  const pixels = Math.hypot(dx, dy);
  if (!(pixels >= 2) || !(s.mm > 0) || !Number.isFinite(s.mm)) return null;
  const is = Math.atan2(dy, dx);
  // Of both ways along a line the nearer is meant: nobody turns a photo upside down by clicking from the right.
  const wanted = s.runs === "across" ? [0, Math.PI, -Math.PI] : s.runs === "up" ? [Math.PI / 2, -Math.PI / 2] : [is];
  const turn = wanted.map((w) => w - is).reduce((a, b) => (Math.abs(b) < Math.abs(a) ? b : a));
  return { mmPerPixel: s.mm / pixels, turn, origin };
}

export function toMm(f: Fit, [x, y]: Pt): Pt {
  const [dx, dy] = [(x - f.origin[0]) * f.mmPerPixel, -(y - f.origin[1]) * f.mmPerPixel];
  const [c, s] = [Math.cos(f.turn), Math.sin(f.turn)];
  return [dx * c - dy * s, dx * s + dy * c];
}

export function toPixel(f: Fit, [x, y]: Pt): Pt {
  const [c, s] = [Math.cos(f.turn), Math.sin(f.turn)];
  const [dx, dy] = [x * c + y * s, -x * s + y * c];
  return [f.origin[0] + dx / f.mmPerPixel, f.origin[1] - dy / f.mmPerPixel];
}

/** The same, with its origin where the lower left corner of these spots is. */
export function cornered(f: Fit, spots: readonly Pt[]): Fit {
  if (spots.length === 0) return f;
  const mm = spots.map((p) => toMm(f, p));
  return { ...f, origin: toPixel(f, [Math.min(...mm.map((p) => p[0])), Math.min(...mm.map((p) => p[1]))]) };
}

/** As a measure is worth writing down: tenths of a millimetre, hundredths of an inch. */
export function measure(mm: number, unit: "mm" | "inch"): string {
  const x = unit === "mm" ? Math.round(mm * 10) / 10 : Math.round((mm / 25.4) * 100) / 100;
  return `${x + 0} ${unit === "mm" ? "mm" : "in"}`;
}
