// The flat shapes of a DXF file: closed outlines and circles. Pairs of lines, a code and its value; only what a
// footprint needs is read, everything else is counted and said.
//
// Read here and not by the desk: a file from anywhere then burdens this page alone. Layout of the pairs as in the
// published DXF reference: 0 begins an entity, 10 and 20 are x and y, 40 a radius, 42 a bulge, 50 and 51 angles.

import type { Pt } from "../talk.ts";

export type Circle = { at: Pt; diameter: number };
export type Drawing = {
  /** Millimetres in one unit of the drawing; null: the file is silent. */
  mmPerUnit: number | null;
  /** Closed outlines, largest first. */
  outlines: Pt[][];
  circles: Circle[];
  /** What of it is not read, in words. */
  left: string[];
};

export const LARGEST = 8_000_000;
const MOST_ENTITIES = 20_000;
export const MOST_CORNERS = 2000;
/** How far apart two ends may lie that are one, in units of the drawing's size. */
const TOUCH = 1e-5;
/** How far a chord may leave its arc, of the drawing's size. */
const CHORD = 2e-4;

/** $INSUNITS: inches, feet, millimetres, centimetres, metres. */
const UNITS: Record<number, number> = { 1: 25.4, 2: 304.8, 4: 1, 5: 10, 6: 1000 };

type Pair = { code: number; value: string };
type Entity = { kind: string; pairs: Pair[]; vertices: Pair[][] };
/** A way from one end to the other: points between which are straight. */
type Way = Pt[];

export function readDxf(text: string): Drawing | string {
  if (text.length > LARGEST) return `This file has more than ${LARGEST / 1e6} million characters. Save the outline of the one part alone.`;
  if (text.includes("\0")) return "This is a binary file. Save it as a DXF of text (ASCII).";
  const lines = text.split(/\r\n|\r|\n/u);
  const entities: Entity[] = [];
  let mmPerUnit: number | null = null;
  let section = "";
  let now: Entity | null = null;
  let header = "";
  for (let i = 0; i + 1 < lines.length; i += 2) {
    const code = Number(lines[i]!.trim());
    const value = lines[i + 1]!.trim();
    if (!Number.isInteger(code)) {
      return i === 0 ? "This does not read like a DXF file." : `This DXF file cannot be read: a number is expected in line ${i + 1}.`;
    }
    if (code === 0) {
      if (value === "SECTION" || value === "ENDSEC" || value === "EOF") {
        now = null;
        section = "";
      } else if (section === "ENTITIES") {
        if (value === "VERTEX" && now?.kind === "POLYLINE") now.vertices.push([]);
        else if (value !== "SEQEND") {
          now = { kind: value, pairs: [], vertices: [] };
          if (entities.push(now) > MOST_ENTITIES) return `There are more than ${MOST_ENTITIES} shapes in this file. Save the outline of the one part alone.`;
        }
      }
    } else if (code === 2 && section === "" && now === null) section = value;
    else if (section === "HEADER") {
      if (code === 9) header = value;
      else if (header === "$INSUNITS" && code === 70) mmPerUnit = UNITS[Number(value)] ?? null;
    } else if (now) (now.vertices.at(-1) ?? now.pairs).push({ code, value });
  }
  if (entities.length === 0) return "There is nothing drawn in this file, or it is no DXF file.";
  return shapes(entities, mmPerUnit);
}

function shapes(entities: readonly Entity[], mmPerUnit: number | null): Drawing | string {
  const size = extent(entities);
  const chord = Math.max(size * CHORD, 1e-9);
  const ways: Way[] = [];
  const circles: Circle[] = [];
  const left = new Map<string, number>();
  for (const e of entities) {
    // Only what lies flat and is seen from above keeps its shape here.
    const flat = number(e.pairs, 230, 1) > 0;
    const way = flat ? wayOf(e, chord) : null;
    if (way === "circle") {
      const diameter = 2 * number(e.pairs, 40, 0);
      const at: Pt = [number(e.pairs, 10, NaN), number(e.pairs, 20, NaN)];
      if (diameter > 0 && finite(at)) circles.push({ at, diameter });
    } else if (way && way.length > 1 && way.every(finite)) ways.push(way);
    else left.set(e.kind, (left.get(e.kind) ?? 0) + 1);
  }
  const { closed, open } = joined(ways, Math.max(size * TOUCH, 1e-9));
  const outlines = closed.map((c) => thinned(c)).filter((c) => c.length >= 3).sort((a, b) => Math.abs(area(b)) - Math.abs(area(a)));
  const said = [...left].slice(0, 6).map(([kind, n]) => `${n} × ${kind.slice(0, 24)}`);
  if (open > 0) said.push(`${open} ${open === 1 ? "line that does not close" : "lines that do not close"}`);
  if (outlines.length === 0 && circles.length === 0) {
    return `There is no closed outline and no circle in this file${said.length > 0 ? ` (it has ${said.join(", ")})` : ""}. Join the lines of the outline to one closed line and save it again.`;
  }
  if (outlines[0] && outlines[0].length > MOST_CORNERS) return `The outline has ${outlines[0].length} corners; at most ${MOST_CORNERS} are taken. Draw it with fewer.`;
  return { mmPerUnit, outlines, circles, left: said };
}

function number(pairs: readonly Pair[], code: number, otherwise: number): number {
  const found = pairs.find((p) => p.code === code);
  return found ? Number(found.value) : otherwise;
}
const finite = (p: Pt) => Number.isFinite(p[0]) && Number.isFinite(p[1]) && Math.abs(p[0]) < 1e9 && Math.abs(p[1]) < 1e9;

/** How large the drawing is: what is near and what is fine goes by that. */
function extent(entities: readonly Entity[]): number {
  let [x0, x1, y0, y1] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const e of entities) {
    const r = e.kind === "CIRCLE" || e.kind === "ARC" ? number(e.pairs, 40, 0) : 0;
    for (const p of [e.pairs, ...e.vertices].flat()) {
      const v = Number(p.value);
      if (!Number.isFinite(v) || Math.abs(v) >= 1e9) continue;
      if (p.code === 10 || p.code === 11) [x0, x1] = [Math.min(x0, v - r), Math.max(x1, v + r)];
      if (p.code === 20 || p.code === 21) [y0, y1] = [Math.min(y0, v - r), Math.max(y1, v + r)];
    }
  }
  const size = Math.max(x1 - x0, y1 - y0);
  return Number.isFinite(size) ? size : 0;
}

function wayOf(e: Entity, chord: number): Way | "circle" | null {
  const p = e.pairs;
  switch (e.kind) {
    case "CIRCLE": return "circle";
    case "LINE": return [[number(p, 10, NaN), number(p, 20, NaN)], [number(p, 11, NaN), number(p, 21, NaN)]];
    case "ARC": return arc([number(p, 10, NaN), number(p, 20, NaN)], number(p, 40, NaN), number(p, 50, NaN), number(p, 51, NaN), chord);
    case "LWPOLYLINE": return bent(lightVertices(p), (number(p, 70, 0) & 1) === 1, chord);
    case "POLYLINE": {
      const all = e.vertices.map((v) => ({ at: [number(v, 10, NaN), number(v, 20, NaN)] as Pt, bulge: number(v, 42, 0) }));
      return bent(all, (number(p, 70, 0) & 1) === 1, chord);
    }
    default: return null;
  }
}

type Vertex = { at: Pt; bulge: number };
function lightVertices(pairs: readonly Pair[]): Vertex[] {
  const all: Vertex[] = [];
  for (const { code, value } of pairs) {
    if (code === 10) all.push({ at: [Number(value), NaN], bulge: 0 });
    const last = all.at(-1);
    if (last && code === 20) last.at = [last.at[0], Number(value)];
    if (last && code === 42) last.bulge = Number(value);
  }
  return all;
}

function arc(at: Pt, r: number, from: number, to: number, chord: number): Way | null {
  if (!(r > 0) || !Number.isFinite(from) || !Number.isFinite(to)) return null;
  const begin = (from * Math.PI) / 180;
  let sweep = ((to - from) * Math.PI) / 180;
  while (sweep <= 0) sweep += 2 * Math.PI;
  return along(at, r, begin, Math.min(sweep, 2 * Math.PI), chord);
}

/** Points on an arc, so close that no chord leaves it farther than allowed; both ends are on it. */
function along(at: Pt, r: number, begin: number, sweep: number, chord: number): Way {
  const step = 2 * Math.acos(Math.max(0.5, 1 - chord / r));
  const n = Math.min(180, Math.max(2, Math.ceil(Math.abs(sweep) / step)));
  return Array.from({ length: n + 1 }, (_, i) => [at[0] + r * Math.cos(begin + (sweep * i) / n), at[1] + r * Math.sin(begin + (sweep * i) / n)] as Pt);
}

/** A line of straight pieces and arcs; the bulge of an arc is the tangent of a quarter of its angle. */
function bent(vertices: readonly Vertex[], closed: boolean, chord: number): Way {
  const way: Way = [];
  const last = closed ? vertices.length : vertices.length - 1;
  for (let i = 0; i < last; i++) {
    const a = vertices[i]!;
    const b = vertices[(i + 1) % vertices.length]!;
    way.push(a.at);
    if (a.bulge === 0 || !Number.isFinite(a.bulge)) continue;
    const sweep = 4 * Math.atan(a.bulge);
    const [dx, dy] = [b.at[0] - a.at[0], b.at[1] - a.at[1]];
    const span = Math.hypot(dx, dy);
    if (!(span > 0)) continue;
    const r = span / 2 / Math.sin(Math.abs(sweep) / 2);
    // The middle lies square off the chord, on its left where the arc turns left.
    const off = (span / 2 / Math.tan(sweep / 2)) / span;
    const at: Pt = [(a.at[0] + b.at[0]) / 2 - dy * off, (a.at[1] + b.at[1]) / 2 + dx * off];
    way.push(...along(at, r, Math.atan2(a.at[1] - at[1], a.at[0] - at[0]), sweep, chord).slice(1, -1));
  }
  const end = closed ? vertices[0] : vertices.at(-1);
  if (end) way.push(end.at);
  return way;
}

/** Ways end to end, as long as there is one that goes on; those that come back to their beginning are closed. */
function joined(ways: readonly Way[], touch: number): { closed: Pt[][]; open: number } {
  const key = (p: Pt, dx = 0, dy = 0) => `${Math.round(p[0] / touch / 4) + dx},${Math.round(p[1] / touch / 4) + dy}`;
  const near = (a: Pt, b: Pt) => Math.hypot(a[0] - b[0], a[1] - b[1]) <= touch;
  const ends = new Map<string, number[]>();
  const used = new Set<number>();
  ways.forEach((w, i) => {
    for (const p of [w[0]!, w.at(-1)!]) {
      const there = ends.get(key(p));
      if (there) there.push(i);
      else ends.set(key(p), [i]);
    }
  });
  const next = (p: Pt): number | undefined => {
    for (const dx of [0, -1, 1]) for (const dy of [0, -1, 1]) {
      const there = ends.get(key(p, dx, dy));
      // Used ones go for good, so that many ends in one spot do not make it slow.
      while (there && there.length > 0 && used.has(there.at(-1)!)) there.pop();
      const i = there?.findLast((i) => !used.has(i) && (near(ways[i]![0]!, p) || near(ways[i]!.at(-1)!, p)));
      if (i !== undefined) return i;
    }
    return undefined;
  };
  const closed: Pt[][] = [];
  let open = 0;
  for (let i = 0; i < ways.length; i++) {
    if (used.has(i)) continue;
    used.add(i);
    const way = [...ways[i]!];
    while (!near(way[0]!, way.at(-1)!) || way.length < 3) {
      const j = next(way.at(-1)!);
      if (j === undefined) break;
      used.add(j);
      const w = ways[j]!;
      for (const p of (near(w[0]!, way.at(-1)!) ? w : [...w].reverse()).slice(1)) way.push(p);
    }
    if (way.length > 3 && near(way[0]!, way.at(-1)!)) closed.push(way.slice(0, -1));
    else open++;
  }
  return { closed, open };
}

export function area(p: readonly Pt[]): number {
  return p.reduce((sum, a, i) => {
    const b = p[(i + 1) % p.length]!;
    return sum + a[0] * b[1] - b[0] * a[1];
  }, 0) / 2;
}

/** Without corners that lie on the straight way between their neighbours. */
function thinned(p: readonly Pt[]): Pt[] {
  const n = p.length;
  return p.filter((b, i) => {
    const [a, c] = [p[(i + n - 1) % n]!, p[(i + 1) % n]!];
    const long = Math.hypot(c[0] - a[0], c[1] - a[1]);
    if (long === 0) return true;
    const off = Math.abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / long;
    return off > 1e-7 * (1 + long);
  });
}

export type Footprint = { round: number | null; corners: Pt[]; rectangle: Pt | null; holes: { diameter: number; at: Pt[] }[]; left: string[] };

/** What a drawing says of a part, mm, with its lower left corner (or the middle of a round one) at the origin. */
export function footprintOf(d: Drawing, mmPerUnit: number): Footprint {
  const biggest = d.circles.reduce<Circle | null>((a, b) => (a && a.diameter >= b.diameter ? a : b), null);
  const outline = d.outlines[0];
  const round = biggest && (!outline || Math.PI * (biggest.diameter / 2) ** 2 > Math.abs(area(outline))) ? biggest : null;
  const x0 = round ? round.at[0] : Math.min(...outline!.map((p) => p[0]));
  const y0 = round ? round.at[1] : Math.min(...outline!.map((p) => p[1]));
  const mm = (p: Pt): Pt => [tidy((p[0] - x0) * mmPerUnit), tidy((p[1] - y0) * mmPerUnit)];
  const groups = new Map<number, Pt[]>();
  for (const c of d.circles) {
    if (c === round) continue;
    const diameter = tidy(c.diameter * mmPerUnit);
    groups.set(diameter, [...(groups.get(diameter) ?? []), mm(c.at)]);
  }
  const holes = [...groups].map(([diameter, at]) => ({ diameter, at })).sort((a, b) => b.at.length - a.at.length || a.diameter - b.diameter);
  const left = [...d.left];
  const others = d.outlines.length - (round ? 0 : 1);
  if (others > 0) left.push(`${others} smaller ${others === 1 ? "outline" : "outlines"}`);
  const corners = round ? [] : outline!.map(mm);
  const [w, h] = [Math.max(0, ...corners.map((p) => p[0])), Math.max(0, ...corners.map((p) => p[1]))];
  const square = corners.length === 4 && corners.every(([x, y]) => (x === 0 || x === w) && (y === 0 || y === h)) && Math.abs(Math.abs(area(corners)) - w * h) < 1e-6 * w * h;
  return { round: round ? tidy(round.diameter * mmPerUnit) : null, corners, rectangle: square ? [w, h] : null, holes, left };
}

/** To a thousandth: what a file computes in binary is no finer measure. */
const tidy = (x: number) => Math.round(x * 1000) / 1000 + 0;
