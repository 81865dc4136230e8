// Corners as the files' text, and as rows of a table.

import type { Pt } from "../talk.ts";
import type { Row } from "../types/Points.tsx";

const UNITS: Record<string, number> = { mm: 1, cm: 10, m: 1000, in: 25.4 };
const END = /\s*(mm|cm|in|m)$/u;

/** `front 0, 0; back 4, 2 mm` as rows, with the unit that all of them share taken off. */
export function splitRows(text: string, faces: boolean, otherwise: string): { rows: Row[]; unit: string } {
  const parts = text.split(";").map((t) => t.trim()).filter((t) => t !== "");
  const unit = END.exec(parts.at(-1) ?? "")?.[1] ?? otherwise;
  const rows = parts.map((part) => {
    const [, face, rest] = (faces ? /^(front|back)\s+(.*)$/u.exec(part) : null) ?? [null, undefined, part];
    const [x = "", y = ""] = (rest ?? "").split(",").map((t) => t.trim());
    const own = END.exec(y)?.[1];
    const bare = (t: string) => (own === unit || own === undefined ? t.replace(END, "") : END.test(t) ? t : `${t} ${own}`);
    return { x: bare(x), y: bare(y), ...(faces ? { face: face ?? "front" } : {}) };
  });
  return { rows, unit };
}

export function joinRows(rows: readonly Row[], unit: string): string {
  const withUnit = (t: string) => (/[a-z"]/iu.test(t) ? t.trim() : `${t.trim()} ${unit}`);
  return rows.map((r) => `${r.face !== undefined ? `${r.face} ` : ""}${withUnit(r.x)}, ${withUnit(r.y)}`).join("; ");
}

/** A row in mm; null while it is no point. */
export function mmOf(row: Row, unit: string): Pt | null {
  const one = (t: string) => {
    const m = /^\s*([-\u2212]?\d+(?:[.,]\d+)?)\s*(mm|cm|m|in)?\s*$/u.exec(t);
    return m ? Number(m[1]!.replace(",", ".").replace("\u2212", "-")) * (UNITS[m[2] ?? unit] ?? 1) : null;
  };
  const [x, y] = [one(row.x), one(row.y)];
  return x === null || y === null ? null : [x, y];
}
