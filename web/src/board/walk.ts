// Walking over the board by keyboard: one thing at a time can be reached with Tab, arrows go to the next. The
// tags of findings are walked by their numbers.

import { createMemo, createSignal } from "solid-js";
import { study } from "../state/desk.ts";
import { passKey, thingsOn } from "../state/things.ts";
import { chosen, face } from "../state/view.ts";
import { ahead, boxOf, middle } from "./geometry.ts";

const [walked, setWalked] = createSignal<string | null>(null);
export { setWalked };

const near = createMemo(() => [
  ...thingsOn(face()).map((t) => ({ name: t.name, box: boxOf(t.outline) })),
  ...(study.sheet?.passes ?? []).map((p) => ({ name: passKey(p.name), box: boxOf(p.outline) })),
]);

/** The thing that Tab reaches. */
export const walker = createMemo<string | null>(() => {
  const all = near();
  for (const name of [walked(), ...chosen()]) if (name !== null && all.some((p) => p.name === name)) return name;
  return all[0]?.name ?? null;
});

/** The next thing in a direction of the screen. */
export function next(from: string, dx: number, dy: number, mirror: number): string | null {
  const all = near().map((p) => ({ name: p.name, at: middle(p.box) }));
  const start = all.find((p) => p.name === from);
  if (!start) return all[0]?.name ?? null;
  return ahead(all.filter((p) => p.name !== from), start.at, dx, dy, mirror)?.name ?? null;
}

/** The thing after or before one, as a page is read: row by row from the top left. */
export function following(from: string | null, by: 1 | -1): string | null {
  const mirror = face() === "front" ? 1 : -1;
  const rows = near().map((p) => ({ name: p.name, at: middle(p.box) }))
    .sort((a, b) => Math.round(b.at[1] / 20) - Math.round(a.at[1] / 20) || (a.at[0] - b.at[0]) * mirror);
  const i = rows.findIndex((p) => p.name === from);
  if (rows.length === 0) return null;
  return rows[i < 0 ? 0 : (i + by + rows.length) % rows.length]!.name;
}

// ---- tags ----

const [walkedTag, setWalkedTag] = createSignal<string | null>(null);
export { setWalkedTag, walkedTag };
