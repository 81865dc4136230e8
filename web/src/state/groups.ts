// Findings as they are listed: grouped by what they are about, the worst group first, numbered in that order.

import type { FindingOn } from "../talk.ts";
import { SEVERITIES } from "../words/say.ts";

export type Numbered = { number: number; finding: FindingOn };
export type Group = { key: string; subject: string; kind: string; items: Numbered[] };

export function grouped(findings: readonly FindingOn[]): Group[] {
  const rank = (f: FindingOn) => SEVERITIES.indexOf(f.severity);
  const groups = new Map<string, Group>();
  const sorted = findings.map((finding, i) => ({ finding, i })).sort((a, b) => rank(a.finding) - rank(b.finding) || a.i - b.i);
  for (const { finding } of sorted) {
    const first = finding.subjects[0];
    const kind = first?.kind ?? "robot";
    const subject = first?.name ?? "";
    const key = `${kind} ${subject}`;
    const group = groups.get(key) ?? { key, subject, kind, items: [] };
    groups.set(key, group);
    group.items.push({ number: 0, finding });
  }
  let number = 0;
  for (const group of groups.values()) for (const item of group.items) item.number = ++number;
  return [...groups.values()];
}
