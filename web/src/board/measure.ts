// Measuring between two features of the board.

import { createSignal } from "solid-js";
import type { Pt } from "../talk.ts";
import { study } from "../state/desk.ts";
import { face } from "../state/view.ts";
import { boxOf, distance, middle, nearestOnSegment } from "./geometry.ts";

export type Feature = { at: Pt; words: string };
export const [measured, setMeasured] = createSignal<{ from: Feature | null; to: Feature | null; near: Feature | null }>({
  from: null, to: null, near: null,
});

/** Every point that can be measured from, on the near face. */
export function features(): Feature[] {
  const out: Feature[] = [];
  for (const part of study.parts) {
    if (part.face !== face()) continue;
    out.push({ at: middle(boxOf(part.outline)), words: `middle of ${part.name}` });
    for (const p of part.outline) out.push({ at: [p[0], p[1]], words: `corner of ${part.name}` });
    for (const t of part.terminals) out.push({ at: [t.at_mm[0], t.at_mm[1]], words: `${part.name}.${t.name}` });
  }
  for (const plug of study.plugs) {
    if (plug.face === face()) out.push({ at: [plug.at_mm[0], plug.at_mm[1]], words: plug.name });
  }
  for (const mount of study.sheet?.mounts ?? []) out.push({ at: [mount.at_mm[0], mount.at_mm[1]], words: mount.name });
  for (const pass of study.sheet?.passes ?? []) out.push({ at: [pass.at_mm[0], pass.at_mm[1]], words: pass.name });
  for (const hole of study.sheet?.holes ?? []) out.push({ at: [hole.from_mm[0], hole.from_mm[1]], words: `hole of ${hole.of}` });
  for (const p of study.sheet?.outline ?? []) out.push({ at: [p[0], p[1]], words: "corner of the board" });
  return out;
}

/** The feature within reach of a point; else the nearest edge within reach; else the point itself. */
export function featureAt(p: Pt, reachMm: number): Feature {
  let best: Feature | null = null;
  let least = reachMm;
  for (const f of features()) {
    const d = distance(f.at, p);
    if (d < least) [best, least] = [f, d];
  }
  if (best) return best;
  const outlines = [
    ...study.parts.filter((x) => x.face === face()).map((x) => ({ name: x.name, outline: x.outline })),
    ...(study.sheet ? [{ name: "the board", outline: study.sheet.outline }] : []),
  ];
  for (const { name, outline } of outlines) {
    for (let i = 0; i < outline.length; i++) {
      const at = nearestOnSegment(p, outline[i]!, outline[(i + 1) % outline.length]!);
      const d = distance(at, p);
      if (d < least) [best, least] = [{ at, words: `edge of ${name}` }, d];
    }
  }
  return best ?? { at: p, words: "here" };
}

export function measureClick(feature: Feature): void {
  setMeasured((m) => (m.from && !m.to ? { ...m, to: feature } : { from: feature, to: null, near: feature }));
}
export function clearMeasure(): void {
  setMeasured({ from: null, to: null, near: null });
}
