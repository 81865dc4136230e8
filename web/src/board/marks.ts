// Which of many marks speak.

import type { FindingOn, MarkOn, Severity } from "../talk.ts";

export type Drawn = {
  /** Key of its finding. */
  key: string;
  severity: Severity;
  mark: MarkOn;
  /** It concerns what you are busy with. */
  near: boolean;
  /** The things that it lies between. */
  between: string;
};

/** From the mildest to the worst: the worst lies on top. */
export const RANK: readonly Severity[] = ["note", "look", "fix", "danger"];

/** What stands on the board of a finding's subjects: one and the same pair clashes in many ways. */
export function betweenWhat(f: FindingOn): string {
  return f.subjects.filter((s) => s.kind !== "wire").map((s) => `${s.kind} ${s.name}`).sort().join(", ");
}

/**
 * Marks with words beside them: every one of the open finding; else of what you are busy with one a pair of things, an
 * area before a distance, because two parts in one place block every terminal there as well.
 */
export function worded(all: readonly Drawn[], open: string | null): Drawn[] {
  const near = all.filter((d) => d.near && d.mark.words !== "");
  const order = (d: Drawn) => 4 * RANK.indexOf(d.severity) + ["room", "span", "clash"].indexOf(d.mark.kind);
  const sorted = [...near].sort((a, b) => order(b) - order(a) || size(b.mark) - size(a.mark));
  const said = new Set<string>();
  return sorted.filter((d) => {
    if (d.key === open) return true;
    if (d.mark.kind === "room" || said.has(d.between)) return false;
    said.add(d.between);
    return true;
  });
}

/** Area of a mark. */
function size(m: MarkOn): number {
  if (m.kind === "span") return 0;
  let twice = 0;
  m.points.forEach(([x, y], i) => {
    const [u, v] = m.points[(i + 1) % m.points.length]!;
    twice += x * v - u * y;
  });
  return Math.abs(twice) / 2;
}
