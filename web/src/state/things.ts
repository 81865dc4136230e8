// What stands on the board and can be taken in hand: parts, plugs, bolts of the board, kept-out areas.
//
// Parts and plugs share one set of names, and are called by them; bolts and kept-out areas carry their kind
// before theirs, since a part may be called the same.

import type { EditSubject, Face, KeepOutOn, MountOn, PartOn, PlugOn, Pt } from "../talk.ts";
import { study } from "./desk.ts";

export type ThingKind = "part" | "plug" | "board-mount" | "keep-out";
export type Thing = {
  /** What it is chosen and held by. */
  name: string;
  kind: ThingKind;
  /** What it is called in the files. */
  called: string;
  /** What it is, in a few words. */
  title: string;
  face: Face | "both";
  at_mm: Pt;
  turn_deg: number;
  outline: readonly Pt[];
  movable: boolean;
  /** It has a turn of its own. */
  turns: boolean;
};

export const mountKey = (name: string) => `board-mount:${name}`;
export const areaKey = (name: string) => `keep-out:${name}`;
export const passKey = (name: string) => `pass:${name}`;

/** Kind and name behind a key. */
export function subjectOf(key: string): EditSubject {
  const cut = key.indexOf(":");
  if (cut > 0) return { kind: key.slice(0, cut) as ThingKind, name: key.slice(cut + 1) };
  return { kind: study.plugs.some((p) => p.name === key) ? "plug" : "part", name: key };
}

/** The name in the files. */
export const called = (key: string): string => key.slice(key.indexOf(":") + 1);

export function thingOf(key: string): Thing | undefined {
  const part = study.parts.find((p) => p.name === key);
  if (part) return ofPart(part);
  const plug = study.plugs.find((p) => p.name === key);
  if (plug) return ofPlug(plug);
  const mount = study.sheet?.mounts.find((m) => mountKey(m.name) === key);
  if (mount) return ofMount(mount);
  const area = study.sheet?.keep_outs.find((k) => areaKey(k.name) === key);
  return area ? ofArea(area) : undefined;
}

export function ofPart(p: PartOn): Thing {
  return { name: p.name, kind: "part", called: p.name, title: p.title, face: p.face, at_mm: p.at_mm, turn_deg: p.turn_deg, outline: p.outline, movable: p.movable, turns: true };
}

export function ofPlug(p: PlugOn): Thing {
  // A plug on a tail hangs where its tail leads; only where it leaves the board can be said.
  return { name: p.name, kind: "plug", called: p.name, title: `plug to ${p.zone}, ${p.family}`, face: p.face, at_mm: p.at_mm, turn_deg: p.turn_deg, outline: p.tail ? [p.at_mm] : p.outline, movable: p.movable, turns: p.tail === null };
}

export function ofMount(m: MountOn): Thing {
  return { name: mountKey(m.name), kind: "board-mount", called: m.name, title: "bolt that holds the board", face: "both", at_mm: m.at_mm, turn_deg: 0, outline: disc(m.at_mm, Math.max(m.diameter_mm, 3) / 2), movable: m.movable, turns: false };
}

export function ofArea(k: KeepOutOn): Thing {
  return { name: areaKey(k.name), kind: "keep-out", called: k.name, title: "kept-out area", face: k.face, at_mm: k.at_mm ?? k.outline[0] ?? [0, 0], turn_deg: 0, outline: k.outline, movable: k.at_mm !== null, turns: false };
}

function disc(at: Pt, r: number): Pt[] {
  return Array.from({ length: 16 }, (_, i): Pt => [at[0] + r * Math.cos((i * Math.PI) / 8), at[1] + r * Math.sin((i * Math.PI) / 8)]);
}

/** Everything that can be in hand on a face. */
export function thingsOn(face: Face): Thing[] {
  const here = (f: Face | "both") => f === face || f === "both";
  return [
    ...study.parts.filter((p) => p.face === face).map(ofPart),
    ...study.plugs.filter((p) => p.face === face).map(ofPlug),
    ...(study.sheet?.mounts ?? []).map(ofMount),
    ...(study.sheet?.keep_outs ?? []).filter((k) => here(k.face)).map(ofArea),
  ];
}
