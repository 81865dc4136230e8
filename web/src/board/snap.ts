// Where a moved thing comes to rest: at a neighbour's edge, centre or hole, else on the grid.

import type { Pt } from "../talk.ts";
import type { Box } from "./geometry.ts";
import { moved } from "./geometry.ts";

/** A line to come to rest on, and what it belongs to. */
export type Rest = { at: number; of: string; what: "edge" | "centre" | "hole" };
export type Rests = { x: Rest[]; y: Rest[] };

export type Snapped = { dx: number; dy: number; x: Rest | null; y: Rest | null };

export function restsOf(
  boxes: readonly { name: string; box: Box }[],
  holes: readonly { name: string; at: Pt }[],
): Rests {
  const rests: Rests = { x: [], y: [] };
  for (const { name, box } of boxes) {
    rests.x.push({ at: box.x0, of: name, what: "edge" }, { at: box.x1, of: name, what: "edge" });
    rests.y.push({ at: box.y0, of: name, what: "edge" }, { at: box.y1, of: name, what: "edge" });
    rests.x.push({ at: (box.x0 + box.x1) / 2, of: name, what: "centre" });
    rests.y.push({ at: (box.y0 + box.y1) / 2, of: name, what: "centre" });
  }
  for (const { name, at } of holes) {
    rests.x.push({ at: at[0], of: name, what: "hole" });
    rests.y.push({ at: at[1], of: name, what: "hole" });
  }
  return rests;
}

/** Nearest rest of one direction: how far off, and which. Centres meet centres and holes, edges meet edges. */
function nearest(edges: readonly number[], centre: number, rests: readonly Rest[], tolerance: number) {
  let best: { by: number; rest: Rest } | null = null;
  for (const rest of rests) {
    const candidates = rest.what === "edge" ? edges : [centre];
    for (const from of candidates) {
      const by = rest.at - from;
      if (Math.abs(by) <= tolerance && (!best || Math.abs(by) < Math.abs(best.by))) best = { by, rest };
    }
  }
  return best;
}

/**
 * A shift that has come to rest.
 * `box` is what is moved as it lay before, `anchor` the point that is put on the grid, `gridMm` 0 for none.
 */
export function snapped(
  shift: Pt, box: Box, anchor: Pt, rests: Rests, toleranceMm: number, gridMm: number,
): Snapped {
  const there = moved(box, shift[0], shift[1]);
  const x = nearest([there.x0, there.x1], (there.x0 + there.x1) / 2, rests.x, toleranceMm);
  const y = nearest([there.y0, there.y1], (there.y0 + there.y1) / 2, rests.y, toleranceMm);
  const onGrid = (start: number, by: number) =>
    gridMm > 0 ? Math.round((start + by) / gridMm) * gridMm - start : by;
  return {
    dx: x ? shift[0] + x.by : onGrid(anchor[0], shift[0]),
    dy: y ? shift[1] + y.by : onGrid(anchor[1], shift[1]),
    x: x?.rest ?? null,
    y: y?.rest ?? null,
  };
}

/** To a hundredth of a millimetre: finer than any saw, and short in the file. */
export function tidy(mm: number): number {
  const rounded = Math.round(mm * 100) / 100;
  return rounded === 0 ? 0 : rounded;
}
