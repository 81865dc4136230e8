// Lining up and spacing several parts.

import type { Pt } from "../talk.ts";
import type { Box } from "./geometry.ts";
import { join } from "./geometry.ts";

export type Placed = { name: string; at: Pt; box: Box };
export type Line = "left" | "right" | "top" | "bottom" | "across" | "up";
export type Move = { name: string; to: Pt };

/**
 * Moves that line the parts up: edges on the outermost edge, `across` on one height (centres), `up` above
 * one another. Left and right are the board's own, as seen looking at the front.
 */
export function aligned(parts: readonly Placed[], line: Line): Move[] {
  if (parts.length < 2) return [];
  const all = parts.map((p) => p.box).reduce(join);
  const shift = (box: Box): Pt => {
    switch (line) {
      case "left": return [all.x0 - box.x0, 0];
      case "right": return [all.x1 - box.x1, 0];
      case "bottom": return [0, all.y0 - box.y0];
      case "top": return [0, all.y1 - box.y1];
      case "across": return [0, (all.y0 + all.y1 - box.y0 - box.y1) / 2];
      case "up": return [(all.x0 + all.x1 - box.x0 - box.x1) / 2, 0];
    }
  };
  return moves(parts, (p) => shift(p.box));
}

/** Moves that make the gaps between three or more parts equal; the outermost two stay. */
export function spaced(parts: readonly Placed[], way: "across" | "up"): Move[] {
  if (parts.length < 3) return [];
  const low = (b: Box) => (way === "across" ? b.x0 : b.y0);
  const high = (b: Box) => (way === "across" ? b.x1 : b.y1);
  const sorted = [...parts].sort((a, b) => low(a.box) + high(a.box) - low(b.box) - high(b.box));
  const [first, last] = [sorted[0]!, sorted[sorted.length - 1]!];
  const taken = sorted.reduce((sum, p) => sum + high(p.box) - low(p.box), 0);
  const gap = (high(last.box) - low(first.box) - taken) / (sorted.length - 1);
  let next = low(first.box);
  const shifts = new Map<string, number>();
  for (const p of sorted) {
    shifts.set(p.name, next - low(p.box));
    next += high(p.box) - low(p.box) + gap;
  }
  return moves(sorted, (p) => {
    const by = shifts.get(p.name) ?? 0;
    return way === "across" ? [by, 0] : [0, by];
  });
}

function moves(parts: readonly Placed[], shift: (p: Placed) => Pt): Move[] {
  return parts.flatMap((p) => {
    const [dx, dy] = shift(p);
    return Math.abs(dx) < 0.005 && Math.abs(dy) < 0.005 ? [] : [{ name: p.name, to: [p.at[0] + dx, p.at[1] + dy] as Pt }];
  });
}
