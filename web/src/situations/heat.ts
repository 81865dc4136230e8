// How hard a wire works in a situation, in five steps.

import type { LoadsOn } from "../talk.ts";
import { situation, tint } from "../state/view.ts";
import { amps, celsius } from "../words/numbers.ts";

export type WireRow = LoadsOn["wires"][number];
export type Heat = "none" | "cool" | "warm" | "hot" | "near" | "over";

/** Share of the limit, both in °C; null when one is not known. */
export function shareOfLimit(row: WireRow): number | null {
  return row.temperature_c === null || row.limit_c === null || row.limit_c <= 0 ? null : row.temperature_c / row.limit_c;
}

export function heatStep(share: number | null): Heat {
  if (share === null) return "none";
  if (share > 1) return "over";
  if (share > 0.9) return "near";
  if (share > 0.75) return "hot";
  if (share > 0.6) return "warm";
  return "cool";
}

/** Load against the largest current of the situation. */
export function loadStep(current: number, largest: number): Heat {
  const share = largest > 0 ? Math.abs(current) / largest : 0;
  if (share < 0.005) return "none";
  return share > 0.8 ? "near" : share > 0.4 ? "hot" : share > 0.15 ? "warm" : "cool";
}

export function heatOf(row: WireRow): Heat {
  if (tint() === "temperature") return heatStep(shareOfLimit(row));
  const largest = Math.max(0, ...(situation()?.wires ?? []).map((w) => Math.abs(w.current_a)));
  return loadStep(row.current_a, largest);
}

/** What is written at the wire: never the colour alone. */
export function heatWords(row: WireRow): string {
  if (tint() === "load") return amps(Math.abs(row.current_a));
  if (row.temperature_c === null) return "";
  const share = shareOfLimit(row);
  return share !== null && share > 1 && row.limit_c !== null
    ? `${celsius(row.temperature_c)}, limit ${celsius(row.limit_c)}`
    : celsius(row.temperature_c);
}

/** Hottest or most loaded first. */
export function hardest(rows: readonly WireRow[]): WireRow[] {
  const by = (r: WireRow) => (tint() === "load" ? Math.abs(r.current_a) : shareOfLimit(r) ?? -1);
  return [...rows].sort((a, b) => by(b) - by(a));
}

/** Of the wires that are drawn, those whose value is written on the board: all that work hard, else the three that work hardest. */
export function worthSaying(rows: readonly WireRow[], drawn: ReadonlySet<string>): WireRow[] {
  const sorted = hardest(rows.filter((r) => drawn.has(r.name)));
  const hard = sorted.filter((r) => !["none", "cool"].includes(heatOf(r)));
  return hard.length > 0 ? hard.slice(0, 30) : sorted.filter((r) => Math.abs(r.current_a) > 0.005).slice(0, 3);
}
