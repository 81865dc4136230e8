// Walking over the board by keyboard: one thing at a time can be reached with Tab, arrows go to the next.

import { createMemo, createSignal } from "solid-js";
import type { Pt } from "../talk.ts";
import { study } from "../state/desk.ts";
import { chosen, face } from "../state/view.ts";
import { boxOf, middle } from "./geometry.ts";

const [walked, setWalked] = createSignal<string | null>(null);
export { setWalked };

const near = createMemo(() => [
  ...study.parts.filter((p) => p.face === face()).map((p) => ({ name: p.name, box: boxOf(p.outline) })),
  ...study.plugs.filter((p) => p.face === face()).map((p) => ({ name: p.name, box: boxOf(p.outline) })),
]);

/** The thing that Tab reaches. */
export const walker = createMemo<string | null>(() => {
  const all = near();
  for (const name of [walked(), ...chosen()]) if (name !== null && all.some((p) => p.name === name)) return name;
  return all[0]?.name ?? null;
});

/** The nearest thing in a direction of the screen; steps mostly ahead are preferred to steps aside. */
export function next(from: string, dx: number, dy: number, mirror: number): string | null {
  const all = near();
  const start = all.find((p) => p.name === from);
  if (!start) return all[0]?.name ?? null;
  const a = middle(start.box);
  let best: { name: string; cost: number } | null = null;
  for (const p of all) {
    if (p.name === from) continue;
    const b: Pt = middle(p.box);
    const ahead = (b[0] - a[0]) * mirror * dx + (b[1] - a[1]) * dy;
    const aside = Math.abs((b[0] - a[0]) * dy) + Math.abs((b[1] - a[1]) * dx);
    if (ahead <= 0.5) continue;
    const cost = ahead + 2 * aside;
    if (!best || cost < best.cost) best = { name: p.name, cost };
  }
  return best?.name ?? null;
}
