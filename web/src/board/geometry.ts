// Plane geometry of the board: boxes, outlines, distances, rounded bends. Millimetres throughout.

import type { Pt } from "../talk.ts";

export type Box = { x0: number; y0: number; x1: number; y1: number };

export const EMPTY_BOX: Box = { x0: Infinity, y0: Infinity, x1: -Infinity, y1: -Infinity };

export function boxOf(points: readonly Pt[]): Box {
  const box = { ...EMPTY_BOX };
  for (const [x, y] of points) {
    if (x < box.x0) box.x0 = x;
    if (x > box.x1) box.x1 = x;
    if (y < box.y0) box.y0 = y;
    if (y > box.y1) box.y1 = y;
  }
  return box;
}

export function join(a: Box, b: Box): Box {
  return { x0: Math.min(a.x0, b.x0), y0: Math.min(a.y0, b.y0), x1: Math.max(a.x1, b.x1), y1: Math.max(a.y1, b.y1) };
}

export function moved(box: Box, dx: number, dy: number): Box {
  return { x0: box.x0 + dx, y0: box.y0 + dy, x1: box.x1 + dx, y1: box.y1 + dy };
}

export function grown(box: Box, by: number): Box {
  return { x0: box.x0 - by, y0: box.y0 - by, x1: box.x1 + by, y1: box.y1 + by };
}

export function overlaps(a: Box, b: Box): boolean {
  return a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1;
}

export function within(inner: Box, outer: Box): boolean {
  return inner.x0 >= outer.x0 && inner.x1 <= outer.x1 && inner.y0 >= outer.y0 && inner.y1 <= outer.y1;
}

export function middle(box: Box): Pt {
  return [(box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2];
}

export function distance(a: Pt, b: Pt): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}

/** The point of the segment from `a` to `b` that is nearest to `p`. */
export function nearestOnSegment(p: Pt, a: Pt, b: Pt): Pt {
  const dx = b[0] - a[0];
  const dy = b[1] - a[1];
  const length2 = dx * dx + dy * dy;
  if (length2 === 0) return a;
  const t = Math.min(1, Math.max(0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length2));
  return [a[0] + t * dx, a[1] + t * dy];
}

/** Even-odd rule; points on the edge may fall on either side. */
export function inside(p: Pt, outline: readonly Pt[]): boolean {
  let is = false;
  for (let i = 0, j = outline.length - 1; i < outline.length; j = i++) {
    const [xi, yi] = outline[i]!;
    const [xj, yj] = outline[j]!;
    if (yi > p[1] !== yj > p[1] && p[0] < ((xj - xi) * (p[1] - yi)) / (yj - yi) + xi) is = !is;
  }
  return is;
}

/** Free width between two outlines, 0 where they touch or overlap, with the two points it lies between. */
export function gap(a: readonly Pt[], b: readonly Pt[]): { mm: number; from: Pt; to: Pt } {
  let best = { mm: Infinity, from: a[0] ?? ([0, 0] as Pt), to: b[0] ?? ([0, 0] as Pt) };
  const look = (points: readonly Pt[], outline: readonly Pt[], turned: boolean) => {
    for (const p of points) {
      for (let i = 0; i < outline.length; i++) {
        const q = nearestOnSegment(p, outline[i]!, outline[(i + 1) % outline.length]!);
        const mm = distance(p, q);
        if (mm < best.mm) best = turned ? { mm, from: q, to: p } : { mm, from: p, to: q };
      }
    }
  };
  look(a, b, false);
  look(b, a, true);
  const apart = crossing(a, b) || (a[0] && inside(a[0], b)) || (b[0] && inside(b[0], a));
  return apart ? { ...best, mm: 0 } : best;
}

function crossing(a: readonly Pt[], b: readonly Pt[]): boolean {
  const side = (p: Pt, q: Pt, r: Pt) => (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
  for (let i = 0; i < a.length; i++) {
    const [p, q] = [a[i]!, a[(i + 1) % a.length]!];
    for (let j = 0; j < b.length; j++) {
      const [r, s] = [b[j]!, b[(j + 1) % b.length]!];
      if (side(p, q, r) * side(p, q, s) < 0 && side(r, s, p) * side(r, s, q) < 0) return true;
    }
  }
  return false;
}

/** `point` turned about `centre`, counter-clockwise as seen looking at the front. */
export function turned(point: Pt, centre: Pt, deg: number): Pt {
  const rad = (deg * Math.PI) / 180;
  const [c, s] = [Math.cos(rad), Math.sin(rad)];
  const [x, y] = [point[0] - centre[0], point[1] - centre[1]];
  return [centre[0] + x * c - y * s, centre[1] + x * s + y * c];
}

/** Angle in [0, 360). */
export function wrapped(deg: number): number {
  const rest = deg % 360;
  return rest < 0 ? rest + 360 : rest === 0 ? 0 : rest;
}

const n = (value: number) => String(Math.round(value * 100) / 100);

/** Closed outline as an SVG path. */
export function outlinePath(points: readonly Pt[]): string {
  if (points.length === 0) return "";
  return `M${points.map(([x, y]) => `${n(x)} ${n(y)}`).join("L")}Z`;
}

/**
 * A line with rounded bends as an SVG path. `radii` has one radius a bend (two fewer than points) or one a
 * point; a radius that does not fit between its neighbours is drawn as large as fits.
 */
export function bentPath(points: readonly Pt[], radii: readonly number[]): string {
  if (points.length < 2) return "";
  const first = points[0]!;
  let path = `M${n(first[0])} ${n(first[1])}`;
  const shift = radii.length === points.length ? 0 : -1;
  for (let i = 1; i < points.length - 1; i++) {
    const [a, b, c] = [points[i - 1]!, points[i]!, points[i + 1]!];
    const radius = radii[i + shift] ?? 0;
    const [before, after] = [distance(a, b), distance(b, c)];
    if (radius <= 0 || before === 0 || after === 0) {
      path += `L${n(b[0])} ${n(b[1])}`;
      continue;
    }
    const u: Pt = [(a[0] - b[0]) / before, (a[1] - b[1]) / before];
    const v: Pt = [(c[0] - b[0]) / after, (c[1] - b[1]) / after];
    const between = Math.acos(Math.min(1, Math.max(-1, u[0] * v[0] + u[1] * v[1])));
    if (Math.PI - between < 1e-3 || between < 1e-3) {
      path += `L${n(b[0])} ${n(b[1])}`;
      continue;
    }
    const cut = Math.min(radius / Math.tan(between / 2), before / 2, after / 2);
    const fits = cut * Math.tan(between / 2);
    const sweep = u[0] * v[1] - u[1] * v[0] > 0 ? 0 : 1;
    path += `L${n(b[0] + u[0] * cut)} ${n(b[1] + u[1] * cut)}`;
    path += `A${n(fits)} ${n(fits)} 0 0 ${sweep} ${n(b[0] + v[0] * cut)} ${n(b[1] + v[1] * cut)}`;
  }
  const last = points[points.length - 1]!;
  return `${path}L${n(last[0])} ${n(last[1])}`;
}

export function lengthOf(points: readonly Pt[]): number {
  let sum = 0;
  for (let i = 1; i < points.length; i++) sum += distance(points[i - 1]!, points[i]!);
  return sum;
}

/** The point at a share (0 to 1) of a line's length. */
export function along(points: readonly Pt[], share: number): Pt {
  let rest = lengthOf(points) * share;
  for (let i = 1; i < points.length; i++) {
    const [a, b] = [points[i - 1]!, points[i]!];
    const step = distance(a, b);
    if (step >= rest && step > 0) return [a[0] + ((b[0] - a[0]) * rest) / step, a[1] + ((b[1] - a[1]) * rest) / step];
    rest -= step;
  }
  return points[points.length - 1] ?? [0, 0];
}

/** The nearest in a direction of the screen; steps mostly ahead are preferred to steps aside. */
export function ahead<T extends { at: Pt }>(all: readonly T[], from: Pt, dx: number, dy: number, mirror: number): T | null {
  let best: { it: T; cost: number } | null = null;
  for (const it of all) {
    const on = (it.at[0] - from[0]) * mirror * dx + (it.at[1] - from[1]) * dy;
    const aside = Math.abs((it.at[0] - from[0]) * dy) + Math.abs((it.at[1] - from[1]) * dx);
    if (on <= 0.5) continue;
    const cost = on + 2 * aside;
    if (!best || cost < best.cost) best = { it, cost };
  }
  return best?.it ?? null;
}
