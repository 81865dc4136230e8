// What lies between two features: points and edges.

import type { Pt } from "../talk.ts";
import { boxOf, distance, middle, nearestOnSegment } from "./geometry.ts";

/** A point or an edge that can be measured from; `at` is where it was pointed at. */
export type Feature = { id: string; words: string; at: Pt; edge?: readonly [Pt, Pt] };

/** Where two features are nearest: of edges their least distance, of edges beside each other square between them. */
export function between(a: Feature, b: Feature): { from: Pt; to: Pt } {
  if (a.edge && b.edge) {
    const pairs: [Pt, Pt][] = [];
    for (const p of a.edge) pairs.push([p, nearestOnSegment(p, b.edge[0], b.edge[1])]);
    for (const p of b.edge) pairs.push([nearestOnSegment(p, a.edge[0], a.edge[1]), p]);
    const least = Math.min(...pairs.map(([p, q]) => distance(p, q)));
    const near = pairs.filter(([p, q]) => distance(p, q) < least + 0.001);
    const mid = (i: 0 | 1): Pt => middle(boxOf(near.map((pair) => pair[i])));
    return { from: mid(0), to: mid(1) };
  }
  if (a.edge) return { from: nearestOnSegment(b.at, a.edge[0], a.edge[1]), to: b.at };
  if (b.edge) return { from: a.at, to: nearestOnSegment(a.at, b.edge[0], b.edge[1]) };
  return { from: a.at, to: b.at };
}
