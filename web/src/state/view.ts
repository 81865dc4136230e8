// How you look at it: face, what is shown, what is chosen, paper or slate. Nothing here is in the files.

import { batch, createEffect, createMemo, createSignal } from "solid-js";
import type { BesideTheBoard, Face, LoadsOn, Pt, SituationOn } from "../talk.ts";
import { faceOf } from "../board/frame.ts";
import type { Frame } from "../board/frame.ts";
import type { LengthUnit } from "../words/numbers.ts";
import { loads, lookAt, situations, study } from "./desk.ts";
import { grouped } from "./groups.ts";
import { areaKey, mountKey } from "./things.ts";

function kept<T extends string>(key: string, allowed: readonly T[], otherwise: T): [() => T, (value: T) => void] {
  let start = otherwise;
  try {
    const found = localStorage.getItem(`loomdeck.${key}`) as T | null;
    if (found !== null && allowed.includes(found)) start = found;
  } catch {
    // A browser that keeps nothing: the choice lasts as long as the page.
  }
  const [value, set] = createSignal<T>(start);
  return [value, (next) => {
    set(() => next);
    try {
      localStorage.setItem(`loomdeck.${key}`, next);
    } catch {
      // As above.
    }
  }];
}

// ---- paper or slate ----

export type ThemeChoice = "system" | "paper" | "slate";
export const [themeChoice, setThemeChoice] = kept<ThemeChoice>("theme", ["system", "paper", "slate"], "system");
const dark = matchMedia("(prefers-color-scheme: dark)");
const [systemDark, setSystemDark] = createSignal(dark.matches);
dark.addEventListener("change", () => setSystemDark(dark.matches));
export const theme = createMemo<"paper" | "slate">(() => {
  const choice = themeChoice();
  return choice === "system" ? (systemDark() ? "slate" : "paper") : choice;
});

const still = matchMedia("(prefers-reduced-motion: reduce)");
export const reducedMotion = () => still.matches;

const phone = matchMedia("(max-width: 720px)");
export const [narrow, setNarrow] = createSignal(phone.matches);
phone.addEventListener("change", () => setNarrow(phone.matches));

// ---- units ----

export const [unitChoice, setUnitChoice] = kept<LengthUnit | "robot">("unit", ["mm", "inch", "robot"], "robot");
export const unit = (): LengthUnit => {
  const choice = unitChoice();
  return choice === "robot" ? study.robot?.unit ?? "mm" : choice;
};
export type GridChoice = "off" | "1" | "5" | "10";
export const [gridChoice, setGridChoice] = kept<GridChoice>("grid", ["off", "1", "5", "10"], "5");
export const gridMm = () => {
  const choice = gridChoice();
  if (choice === "off") return 0;
  // In inches: a 32nd, an eighth, a quarter.
  return unit() === "mm" ? Number(choice) : { "1": 25.4 / 32, "5": 25.4 / 8, "10": 25.4 / 4 }[choice];
};

// ---- the frame ----

export const [frame, setFrame] = createSignal<Frame>({ cx: 300, cy: 200, k: 1, m: 1, w: 0, h: 0, mx: 0, my: 0 });
export const face = createMemo<Face>(() => faceOf(frame().m));
export const [turning, setTurning] = createSignal(false);

/** Turns the board over about the upright axis through the middle of the picture. */
export function turnOver(to?: Face): void {
  const from = frame().m;
  const goal = to ? (to === "front" ? 1 : -1) : from >= 0 ? -1 : 1;
  if (goal === from || turning()) return;
  const done = () => batch(() => {
    setFrame((f) => ({ ...f, m: goal }));
    setTurning(false);
  });
  if (reducedMotion()) return done();
  setTurning(true);
  const began = performance.now();
  const step = () => {
    const t = Math.min(1, (performance.now() - began) / 420);
    if (t >= 1) return done();
    const eased = t * t * (3 - 2 * t);
    setFrame((f) => ({ ...f, m: from * Math.cos(Math.PI * eased) }));
    requestAnimationFrame(step);
  };
  requestAnimationFrame(step);
}

/** The board, or the power diagram in its place. */
export const [looking, setLooking] = createSignal<"board" | "power">("board");

// ---- what is shown ----

export const LAYERS = ["names", "wires", "looms", "holes", "heights", "far", "tags", "bends", "reach"] as const;
export type Layer = (typeof LAYERS)[number];
const [shown, setShown] = createSignal<ReadonlySet<Layer>>(new Set<Layer>(["names", "wires", "looms", "holes", "far", "tags"]));
export { shown };
export function show(layer: Layer, on: boolean): void {
  setShown((old) => {
    const next = new Set(old);
    if (on) next.add(layer);
    else next.delete(layer);
    return next;
  });
}
export const [through, setThrough] = createSignal(false);

// ---- what is chosen ----

export const [chosen, setChosen] = createSignal<readonly string[]>([]);
export const [chosenWire, setChosenWire] = createSignal<string | null>(null);
export const [pointed, setPointed] = createSignal<string | null>(null);
export function choose(names: readonly string[]): void {
  batch(() => {
    setChosen(names);
    setChosenWire(null);
  });
}
export function toggle(name: string): void {
  const now = chosen();
  choose(now.includes(name) ? now.filter((n) => n !== name) : [...now, name]);
}
export function chooseWire(name: string | null): void {
  batch(() => {
    setChosen([]);
    setChosenWire(name);
  });
}

/** Chooses a thing of the robot, when it is one that can be chosen. */
export function chooseThing(kind: string, name: string): void {
  if (kind === "wire") chooseWire(name);
  else if (kind === "part" || kind === "plug") choose([name]);
  else if (kind === "board-mount") choose([mountKey(name)]);
  else if (kind === "keep-out") choose([areaKey(name)]);
}

export const groups = createMemo(() => grouped(study.findings));
export const [openFinding, setOpenFinding] = createSignal<string | null>(null);

// ---- pages of the column ----

export type Page = "findings" | "situation" | "parts" | "wires" | "make";
export const [page, setPage] = createSignal<Page>("findings");
/** On a phone: the board or the words. */
export const [phoneSide, setPhoneSide] = createSignal<"board" | "words">("board");

export const [situationName, setSituationName] = createSignal<string | null>(null);
export type Situation = SituationOn & LoadsOn;
/** The chosen situation with its loads, as soon as the desk has told them. */
export const situation = createMemo<Situation | null>(() => {
  const now = situations().find((s) => s.name === situationName());
  const of = loads();
  return now && of?.situation === now.name ? { ...now, ...of } : null;
});

/** The desk is told what is looked at, and sends that. */
export function keepLook(): void {
  createEffect(() => {
    const beside: BesideTheBoard[] = [];
    if (page() === "findings") beside.push("good_news");
    if (page() === "make") beside.push("make");
    if (looking() === "power") beside.push("diagram");
    lookAt(situationName(), beside);
  });
}
export type Tint = "load" | "temperature";
export const [tint, setTint] = createSignal<Tint>("temperature");

// ---- going to a place ----

export const [goal, setGoal] = createSignal<{ at: Pt; face: Face; id: number } | null>(null);
let goalId = 0;
/** Shows a place of the board, turning it over if need be. */
export function goTo(at: Pt, on: Face): void {
  setPhoneSide("board");
  setGoal({ at, face: on, id: ++goalId });
}

export type Tool = "hand" | "measure" | "place" | "wire" | "pass";
export const [tool, setTool] = createSignal<Tool>("hand");

/** Parts that are gone are no longer chosen. */
export function keepChosen(): void {
  createEffect(() => {
    const names = new Set([
      ...[...study.parts, ...study.plugs, ...study.off_board].map((p) => p.name),
      ...(study.sheet?.mounts ?? []).map((m) => mountKey(m.name)), ...(study.sheet?.keep_outs ?? []).map((k) => areaKey(k.name)),
    ]);
    setChosen((old) => (old.every((n) => names.has(n)) ? old : old.filter((n) => names.has(n))));
  });
}
