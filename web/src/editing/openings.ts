// Openings in the sheet: drawn, moved, and pulled larger by their handles.

import { batch, createEffect, createSignal } from "solid-js";
import type { Edit, EditValue, PassOn, Pt } from "../talk.ts";
import { letGo } from "../state/carry.ts";
import { asksTry, make, say, study } from "../state/desk.ts";
import { gridMm, setTool, unit } from "../state/view.ts";
import { tidy } from "../board/snap.ts";
import { length } from "../words/numbers.ts";
import { freeName, look } from "./bench.ts";

export type Shape = "round" | "slot" | "rectangle";
export const [shape, setShape] = createSignal<Shape>("slot");
/** Middle, length along its own axis, width across, turn. */
export type Opening = { at: Pt; length: number; width: number; turn: number; round: boolean };
/** The opening in hand as it would be. */
export const [inHand, setInHand] = createSignal<Opening | null>(null);
export const [chosenPass, setChosenPass] = createSignal<string | null>(null);

export const passNamed = (name: string | null): PassOn | undefined => study.sheet?.passes.find((p) => p.name === name);

/** Openings that are gone are no longer chosen. */
export function keepPass(): void {
  createEffect((seen: string | null): string | null => {
    const name = chosenPass();
    if (passNamed(name)) return name;
    // One that was cut just now is not in the study yet.
    if (name !== null && name === seen) setChosenPass(null);
    return null;
  }, null);
}

export function openingOf(p: PassOn): Opening {
  return { at: [p.at_mm[0], p.at_mm[1]], length: p.length_mm, width: p.width_mm, turn: p.turn_deg, round: p.round };
}

const rest = (x: number) => tidy(gridMm() > 0 ? Math.round(x / gridMm()) * gridMm() : x);
const size = (x: number) => Math.min(1000, Math.max(1, rest(x)));

/** What a drag from one corner to the other draws. */
export function drawn(a: Pt, b: Pt): Opening | null {
  const [w, h] = [Math.abs(b[0] - a[0]), Math.abs(b[1] - a[1])];
  if (Math.max(w, h) < 1) return null;
  const at: Pt = [tidy((a[0] + b[0]) / 2), tidy((a[1] + b[1]) / 2)];
  if (shape() === "round") {
    const d = size(2 * Math.hypot(b[0] - a[0], b[1] - a[1]));
    return { at: [rest(a[0]), rest(a[1])], length: d, width: d, turn: 0, round: true };
  }
  const upright = h > w;
  return { at, length: size(Math.max(w, h)), width: size(Math.min(w, h)), turn: upright ? 90 : 0, round: false };
}

export function addOpening(o: Opening): void {
  const name = freeName("opening", new Set(study.sheet?.passes.map((p) => p.name) ?? []));
  const keys: [string, EditValue][] = [["at", { point_mm: o.at }]];
  if (o.round) keys.push(["diameter", { length_mm: o.length }]);
  else {
    keys.push(["length", { length_mm: o.length }], ["width", { length_mm: o.width }]);
    if (shape() === "rectangle") keys.push(["corner", { length_mm: Math.min(3, o.width / 2) }]);
    if (o.turn !== 0) keys.push(["turn", { angle_deg: o.turn }]);
  }
  make(`Cut ${name}`, [{ add: { on: { kind: "pass", name }, keys } }], () => passNamed(name) !== undefined);
  say(`Cut ${name}, ${length(o.length, unit())} by ${length(o.width, unit())}`);
  batch(() => {
    setInHand(null);
    setTool("hand");
    setChosenPass(name);
    look({ kind: "pass", name });
  });
}

/** The handles of an opening: the far ends of its length and of its width. */
export type Handle = "move" | "length" | "width";
export function handles(o: Opening): { handle: Handle; at: Pt }[] {
  const a = (o.turn * Math.PI) / 180;
  const along: Pt = [o.at[0] + (o.length / 2) * Math.cos(a), o.at[1] + (o.length / 2) * Math.sin(a)];
  const across: Pt = [o.at[0] - (o.width / 2) * Math.sin(a), o.at[1] + (o.width / 2) * Math.cos(a)];
  return o.round ? [{ handle: "length", at: along }] : [{ handle: "length", at: along }, { handle: "width", at: across }];
}

/** The opening when a handle is pulled by so much; its middle stays. */
export function pulled(o: Opening, handle: Handle, by: Pt): Opening {
  if (handle === "move") return { ...o, at: [rest(o.at[0] + by[0]), rest(o.at[1] + by[1])] };
  const a = (o.turn * Math.PI) / 180;
  if (handle === "length") {
    const long = size(o.length + 2 * (by[0] * Math.cos(a) + by[1] * Math.sin(a)));
    return o.round ? { ...o, length: long, width: long } : { ...o, length: Math.max(long, o.width) };
  }
  const wide = size(o.width + 2 * (-by[0] * Math.sin(a) + by[1] * Math.cos(a)));
  return { ...o, width: Math.min(wide, o.length) };
}

function changes(name: string, was: Opening, now: Opening): Edit[] {
  const on = { kind: "pass" as const, name };
  const edits: Edit[] = [];
  if (was.at[0] !== now.at[0] || was.at[1] !== now.at[1]) edits.push({ set: { on, key: "at", value: { point_mm: now.at } } });
  if (was.length !== now.length) edits.push({ set: { on, key: now.round ? "diameter" : "length", value: { length_mm: now.length } } });
  if (was.width !== now.width && !now.round) edits.push({ set: { on, key: "width", value: { length_mm: now.width } } });
  return edits;
}

export function tryOpening(name: string, was: Opening, now: Opening): void {
  const edits = changes(name, was, now);
  setInHand(now);
  if (edits.length > 0) asksTry(edits);
}

export function keepOpening(name: string, was: Opening, now: Opening): void {
  const edits = changes(name, was, now);
  setInHand(null);
  if (edits.length === 0) return letGo();
  const moved = was.at[0] !== now.at[0] || was.at[1] !== now.at[1];
  const words = moved ? `Move ${name}` : `Make ${name} ${length(now.length, unit())}${now.round ? "" : ` by ${length(now.width, unit())}`}`;
  make(words, edits, () => {
    const p = passNamed(name);
    return p !== undefined && changes(name, openingOf(p), now).length === 0;
  });
}

export function dropOpening(): void {
  setInHand(null);
  letGo();
}
