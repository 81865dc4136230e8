// Measuring between two features of the board.

import { createMemo, createSignal } from "solid-js";
import type { Pt } from "../talk.ts";
import { study } from "../state/desk.ts";
import { thingsOn } from "../state/things.ts";
import { face } from "../state/view.ts";
import { boxOf, distance, middle, nearestOnSegment } from "./geometry.ts";
import type { Feature } from "./between.ts";

type Measured = { from: Feature | null; to: Feature | null; near: Feature | null };
const NONE: Measured = { from: null, to: null, near: null };
const [measuredAt, setMeasured] = createSignal<Measured>(NONE);
export { setMeasured };

const pt = (p: readonly [number, number]): Pt => [p[0], p[1]];

/** Every point that can be measured from, on the near face. */
export const features = createMemo<Feature[]>(() => {
  const out: Feature[] = [];
  const add = (id: string, at: Pt, words: string) => out.push({ id, at: pt(at), words });
  for (const t of thingsOn(face())) {
    if (t.kind === "board-mount") {
      add(`${t.name} middle`, t.at_mm, `bolt ${t.called}`);
      continue;
    }
    if (t.outline.length < 3) continue;
    add(`${t.name} middle`, middle(boxOf(t.outline)), `middle of ${t.called}`);
    t.outline.forEach((p, i) => add(`${t.name} corner ${i}`, p, `corner of ${t.called}`));
  }
  for (const p of study.parts) {
    if (p.face === face()) for (const t of p.terminals) add(`${p.name}.${t.name}`, t.at_mm, `${p.name}.${t.name}`);
  }
  for (const p of study.plugs) if (p.face === face()) add(`${p.name} at`, p.at_mm, p.name);
  for (const p of study.sheet?.passes ?? []) add(`pass ${p.name}`, p.at_mm, `middle of ${p.name}`);
  (study.sheet?.holes ?? []).forEach((h, i) => {
    add(`hole ${i}`, h.from_mm, `hole of ${h.of}`);
    if (distance(h.from_mm, h.to_mm) > 0.05) add(`hole ${i} end`, h.to_mm, `other end of the hole of ${h.of}`);
  });
  (study.sheet?.outline ?? []).forEach((p, i) => add(`board corner ${i}`, p, "corner of the board"));
  return out;
});

/** A side that is shorter is part of an arc, of which only the point counts. */
const LEAST_EDGE = 3;

const edges = createMemo<Feature[]>(() => {
  const out: Feature[] = [];
  const around = (id: string, outline: readonly Pt[], words: (a: Pt, b: Pt) => string) => {
    outline.forEach((a, i) => {
      const b = outline[(i + 1) % outline.length]!;
      out.push({ id: `${id} edge ${i}`, at: middle(boxOf([a, b])), edge: [pt(a), pt(b)], words: words(a, b) });
    });
  };
  for (const t of thingsOn(face())) if (t.kind !== "board-mount" && t.outline.length > 2) around(t.name, t.outline, () => `edge of ${t.called}`);
  for (const p of study.sheet?.passes ?? []) around(`pass ${p.name}`, p.outline, () => `edge of ${p.name}`);
  const sheet = study.sheet?.outline ?? [];
  const box = boxOf(sheet);
  around("board", sheet, (a, b) => `${sideOf(a, b, box)}edge of the board`);
  return out;
});

function sideOf(a: Pt, b: Pt, box: { x0: number; y0: number; x1: number; y1: number }): string {
  const on = (x: number, y: number, z: number) => Math.abs(x - z) < 0.01 && Math.abs(y - z) < 0.01;
  const [left, right] = face() === "front" ? ["left ", "right "] : ["right ", "left "];
  if (on(a[0], b[0], box.x0)) return left;
  if (on(a[0], b[0], box.x1)) return right;
  if (on(a[1], b[1], box.y0)) return "lower ";
  if (on(a[1], b[1], box.y1)) return "upper ";
  return "";
}

/**
 * The feature within reach of a point: a corner, middle, terminal or hole, unless an edge is much nearer; else the point
 * itself.
 */
export function featureAt(p: Pt, reachMm: number): Feature {
  let best: Feature | null = null;
  let least = reachMm;
  for (const f of features()) {
    const d = distance(f.at, p);
    if (d < least) [best, least] = [f, d];
  }
  let edge: Feature | null = null;
  let nearest = reachMm;
  for (const f of edges()) {
    const at = nearestOnSegment(p, f.edge![0], f.edge![1]);
    const d = distance(at, p);
    const long = distance(f.edge![0], f.edge![1]) >= LEAST_EDGE;
    if (d < nearest) [edge, nearest] = [long ? { ...f, at } : { id: "", at, words: f.words }, d];
  }
  if (best && (!edge || least <= nearest + reachMm / 2)) return best;
  return edge ?? { id: "", at: p, words: "here" };
}

/** The feature as it lies now: what it belongs to may have been moved since. */
function now(f: Feature | null): Feature | null {
  if (!f || f.id === "") return f;
  const is = (x: Feature) => x.id === f.id;
  if (!f.edge) return features().find(is) ?? f;
  const edge = edges().find(is)?.edge;
  return edge ? { ...f, edge, at: nearestOnSegment(f.at, edge[0], edge[1]) } : f;
}

/** What is measured, as it lies now. */
export const measured = createMemo<Measured>(() => {
  const m = measuredAt();
  return { from: now(m.from), to: now(m.to), near: m.near };
});

export function measureClick(feature: Feature): void {
  setMeasured((m) => (m.from && !m.to ? { ...m, to: feature } : { from: feature, to: null, near: feature }));
}
export function clearMeasure(): void {
  setMeasured(NONE);
}
