// Findings as they are listed: those together that are mended together, the worst group first, numbered in that
// order. Two are mended together when they are first of all about the same thing, or when the first remedy of each
// that the program can write changes the same key of the same thing.

import type { FindingOn } from "../talk.ts";
import { SEVERITIES } from "../words/say.ts";

export type Numbered = { number: number; finding: FindingOn };
export type About = { kind: string; name: string };
export type Group = { key: string; about: About[]; items: Numbered[] };

function about(f: FindingOn): About {
  const first = f.subjects[0];
  return { kind: first?.kind ?? "robot", name: first?.name ?? "" };
}

function ties(f: FindingOn): string[] {
  const { kind, name } = about(f);
  const remedy = f.remedies.find((r) => r.can_be_applied);
  // The robot as a whole is no place: what is about it is not mended together for that.
  const place = name === "" ? `${kind} ${f.slug}` : `${kind} ${name}`;
  return [`about ${place}`, ...(remedy?.changes ?? []).map((c) => `changes ${c}`)];
}

export function grouped(findings: readonly FindingOn[]): Group[] {
  const rank = (f: FindingOn) => SEVERITIES.indexOf(f.severity);
  const sorted = findings.map((finding, i) => ({ finding, i })).sort((a, b) => rank(a.finding) - rank(b.finding) || a.i - b.i);
  // Each finding points to one that it is mended with, the worst of them to itself.
  const with_ = sorted.map((_, i) => i);
  const root = (i: number): number => (with_[i] === i ? i : (with_[i] = root(with_[i]!)));
  const first = new Map<string, number>();
  sorted.forEach(({ finding }, i) => {
    for (const tie of ties(finding)) {
      const other = first.get(tie);
      if (other === undefined) first.set(tie, i);
      else {
        const [a, b] = [root(i), root(other)];
        with_[Math.max(a, b)] = Math.min(a, b);
      }
    }
  });
  const groups = new Map<number, Group>();
  sorted.forEach(({ finding }, i) => {
    const at = root(i);
    const group = groups.get(at) ?? { key: `with ${sorted[at]!.finding.key}`, about: [], items: [] };
    groups.set(at, group);
    const it = about(finding);
    if (!group.about.some((a) => a.kind === it.kind && a.name === it.name)) group.about.push(it);
    group.items.push({ number: 0, finding });
  });
  let number = 0;
  for (const group of groups.values()) for (const item of group.items) item.number = ++number;
  return [...groups.values()];
}
