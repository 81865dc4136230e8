// A new wire on its way: its two ends, its size and colour, and what the study says of it so far.

import { batch, createMemo, createSignal } from "solid-js";
import type { Edit, EditValue, FindingOn, Pt, WireSize } from "../talk.ts";
import { make, say, study, trying } from "../state/desk.ts";
import { chooseWire, face } from "../state/view.ts";
import { freeName, look } from "./bench.ts";

export const MM2 = [0.14, 0.25, 0.34, 0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50] as const;
export const AWG = [26, 24, 22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 2, 1] as const;
export const COLOURS = ["red", "black", "brown", "orange", "yellow", "green", "blue", "violet", "grey", "white", "pink"] as const;

export const [from, setFrom] = createSignal("");
export const [to, setTo] = createSignal("");
/** `2.5 mm²` or `14 AWG`. */
export const [size, setSize] = createSignal("1 mm²");
export const [colour, setColour] = createSignal("");
export const [stripe, setStripe] = createSignal("");
export const [ownName, setOwnName] = createSignal<string | null>(null);

export function afresh(): void {
  batch(() => {
    setFrom("");
    setTo("");
    setColour("");
    setStripe("");
    setOwnName(null);
    setSize(usual());
  });
}

/** The size that most wires here have; 1 mm² where there are none. */
function usual(): string {
  const counts = new Map<string, number>();
  for (const w of study.wires) {
    const known = sizeWords(w.size);
    if (known) counts.set(known, (counts.get(known) ?? 0) + 1);
  }
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0] ?? "1 mm²";
}

function sizeWords(text: string): string | null {
  const m = /^([\d.]+)\s*(mm²|AWG)$/u.exec(text.trim());
  if (!m) return null;
  const known = m[2] === "AWG" ? AWG.some((n) => n === Number(m[1])) : MM2.some((n) => n === Number(m[1]));
  return known ? `${m[1]} ${m[2]}` : null;
}

export function sizeValue(text: string): EditValue {
  const n = Number.parseFloat(text);
  return text.endsWith("AWG") ? { awg: n } : { mm2: n };
}

export function sizeOf(s: WireSize): string {
  return s.mm2 !== null ? `${s.mm2} mm²` : `${s.awg} AWG`;
}

/** Every place where a wire can land: what is written in the files, and what it is. */
export type End = { end: string; words: string };
export const ends = createMemo<End[]>(() => [
  ...study.parts.flatMap((p) => p.terminals.map((t) => ({ end: `${p.name}.${t.name}`, words: `${p.title}, ${p.face}` }))),
  ...study.off_board.flatMap((p) => p.terminals.map((t) => ({ end: `${p.name}.${t}`, words: `${p.title}, ${p.zone}` }))),
  ...study.plugs.flatMap((p) => (["board", "body"] as const).flatMap((half) =>
    Array.from({ length: p.contacts }, (_, i) => ({ end: `${p.name}.${half}.${i + 1}`, words: `plug to ${p.zone}` })))),
]);
export const isEnd = (text: string) => ends().some((e) => e.end === text);

/** Where an end lies on the board; null: off it. */
export function spotOf(end: string): { at: Pt; face: "front" | "back" } | null {
  for (const p of study.parts) {
    const t = p.terminals.find((t) => `${p.name}.${t.name}` === end);
    if (t) return { at: [t.at_mm[0], t.at_mm[1]], face: p.face };
  }
  return null;
}

/** The terminal of the face you look at that is nearest, within a reach. */
export function terminalAt(at: Pt, reach: number): string | null {
  let best: { end: string; far: number } | null = null;
  for (const p of study.parts) {
    if (p.face !== face()) continue;
    for (const t of p.terminals) {
      const far = Math.hypot(t.at_mm[0] - at[0], t.at_mm[1] - at[1]);
      if (far <= reach && (!best || far < best.far)) best = { end: `${p.name}.${t.name}`, far };
    }
  }
  return best?.end ?? null;
}

/** A click on the board while a wire is drawn. */
export function clickTerminal(at: Pt, reach: number): void {
  const end = terminalAt(at, reach);
  if (end === null) {
    say("There is no terminal here");
    return;
  }
  if (from() === "" || (isEnd(from()) && isEnd(to()))) {
    batch(() => {
      setFrom(end);
      setTo("");
      setOwnName(null);
    });
    say(`From ${end}`);
  } else if (end !== from()) {
    setTo(end);
    say(`To ${end}`);
  }
}

const taken = createMemo(() => new Set(study.wires.map((w) => w.name)));
/** The names that stand in the files: a wire that is only tried is none of them. */
const [filed, setFiled] = createSignal<ReadonlySet<string>>(new Set());
const [foundBefore, setFoundBefore] = createSignal<ReadonlySet<string>>(new Set());
/** Notes what there is without the new wire. */
export function note(): void {
  if (trying()) return;
  batch(() => {
    setFiled(taken());
    setFoundBefore(new Set(study.findings.map((f) => f.key)));
  });
}

export const wireName = createMemo(() => {
  const own = ownName();
  if (own !== null) return own.trim();
  const part = (end: string) => end.split(".")[0] ?? "";
  return freeName(from() === "" || to() === "" ? "wire" : `${part(from())}-${part(to())}`, filed());
});
export const nameIsTaken = () => filed().has(wireName());

export const ready = createMemo(() => isEnd(from()) && isEnd(to()) && from() !== to() && wireName() !== "" && !nameIsTaken());

export function edits(): Edit[] {
  const keys: [string, EditValue][] = [["from", { text: from() }], ["to", { text: to() }], ["size", sizeValue(size())]];
  if (colour() !== "") keys.push(["colour", { text: stripe() === "" ? colour() : `${colour()}/${stripe()}` }]);
  return [{ add: { on: { kind: "wire", name: wireName() }, keys } }];
}

/** The wire as it is tried, once the study shows it as it is now asked for: never an earlier size's advice. */
export const tried = createMemo(() => {
  if (!trying() || !ready()) return undefined;
  const is = (w: { name: string; from: string; to: string; size: string }) =>
    w.name === wireName() && w.from === from() && w.to === to() && w.size.replace(/\s/gu, " ") === size();
  return study.wires.find(is);
});

/** What comes with it, worst first. */
export const comes = createMemo<FindingOn[]>(() => (tried() ? study.findings.filter((f) => !f.deep && !foundBefore().has(f.key)) : []));

/** A size that a remedy of something that comes would give it. */
export const proposed = createMemo<string | null>(() => {
  for (const f of comes()) for (const r of f.remedies) if (r.size && r.size.wire === wireName()) return sizeOf(r.size);
  return null;
});

export function makeIt(): void {
  const name = wireName();
  make(`Draw ${name} from ${from()} to ${to()}`, edits(), () => study.wires.some((w) => w.name === name));
  batch(() => {
    look({ kind: "wire", name });
    chooseWire(name);
  });
}
