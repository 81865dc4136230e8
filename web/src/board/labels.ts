// Where names and tags go so that none lies on another. All in screen pixels of the zoomed board.
//
// A name goes inside its part, in one to three lines, lying or upright; else beside it on a leader; else it
// is left out, and shows when you point at the part or come nearer. A tag goes near its spot on a leader.

import type { Pt } from "../talk.ts";
import type { Box } from "./geometry.ts";
import { EMPTY_BOX, boxOf, grown, middle, overlaps, within } from "./geometry.ts";

export type NameIn = { name: string; box: Box };
export type NameAt = {
  name: string; lines: string[]; at: Pt; upright: boolean; box: Box;
  /** Where its leader ends on the part; null when it is inside. */
  leader: Pt | null;
};
export type TagIn = { key: string; number: string; spot: Pt };
export type TagAt = { key: string; number: string; spot: Pt; at: Pt; box: Box };

/** Boxes that are taken, looked up by cell so that a full board stays quick. */
export class Taken {
  private cells = new Map<string, Box[]>();
  private static readonly CELL = 64;

  add(box: Box): void {
    for (const key of this.keys(box)) {
      const list = this.cells.get(key);
      if (list) list.push(box);
      else this.cells.set(key, [box]);
    }
  }

  free(box: Box): boolean {
    for (const key of this.keys(box)) {
      for (const other of this.cells.get(key) ?? []) if (overlaps(box, other)) return false;
    }
    return true;
  }

  private *keys(box: Box): Generator<string> {
    const c = Taken.CELL;
    const [i0, i1] = [Math.floor(box.x0 / c), Math.floor(box.x1 / c)];
    const [j0, j1] = [Math.floor(box.y0 / c), Math.floor(box.y1 / c)];
    for (let i = i0; i <= i1; i++) for (let j = j0; j <= j1; j++) yield `${i},${j}`;
  }
}

/** Ways to break a name at its hyphens and spaces into one to three lines, most even first for each count. */
export function broken(name: string): string[][] {
  const words = name.split(/(?<=[-\s_])/u).map((w) => w.trim()).filter((w) => w !== "");
  const ways: string[][] = [[name]];
  const longest = (lines: string[]) => Math.max(...lines.map((l) => [...l].length));
  for (const count of [2, 3]) {
    if (words.length < count) break;
    const options = splits(words, count);
    options.sort((a, b) => longest(a) - longest(b));
    if (options[0]) ways.push(options[0]);
  }
  return ways;
}

function splits(words: string[], count: number): string[][] {
  const set = (from: number, to: number) => words.slice(from, to).join("").replace(/\s+/gu, " ");
  if (count === 2) return words.slice(1).map((_, i) => [set(0, i + 1), set(i + 1, words.length)]);
  const out: string[][] = [];
  for (let i = 1; i < words.length - 1; i++) {
    for (let j = i + 1; j < words.length; j++) out.push([set(0, i), set(i, j), set(j, words.length)]);
  }
  return out;
}

const PAD = 4;

export type Room = {
  /** Names lie within. */
  bounds?: Box;
  /** Places that a name leaves free when it has another inside its part. */
  shy?: Taken;
  /** Leave out names that do not fit into their parts. */
  insideOnly?: boolean;
  /** Lines that a name beside its part does not lie across. */
  walls?: readonly Box[];
};

const EVERYWHERE: Box = { x0: -Infinity, y0: -Infinity, x1: Infinity, y1: Infinity };

/** A name beside its part never lies on another part. */
export function placeNames(
  names: readonly NameIn[], taken: Taken, width: (text: string) => number, lineHeight: number, room: Room = {},
): NameAt[] {
  const { bounds = EVERYWHERE, shy = new Taken(), insideOnly = false, walls = [] } = room;
  const out: NameAt[] = [];
  const later: NameIn[] = [];
  // Small parts first: a large one has other places for its name.
  const bySize = [...names].sort((a, b) => area(a.box) - area(b.box));
  for (const it of bySize) {
    const at = inPart(it, taken, width, lineHeight, shy) ?? inPart(it, taken, width, lineHeight, new Taken());
    if (at) {
      out.push(at);
      taken.add(grown(at.box, 1));
    } else later.push(it);
  }
  for (const it of later) {
    // What lies on it or under it, a cover say, is no other place.
    const others = names.filter((n) => n !== it && !within(n.box, grown(it.box, 2)) && !within(it.box, grown(n.box, 2))).map((n) => n.box);
    const at = insideOnly ? null : besidePart(it, taken, width, lineHeight, bounds, others, walls);
    if (at) {
      out.push(at);
      taken.add(grown(at.box, 2));
    }
  }
  return out;
}

function area(box: Box): number {
  return (box.x1 - box.x0) * (box.y1 - box.y0);
}

function inPart(it: NameIn, taken: Taken, width: (t: string) => number, lh: number, shy: Taken): NameAt | null {
  const [cx, cy] = middle(it.box);
  const room = grown(it.box, -PAD);
  for (const upright of [false, true]) {
    for (const lines of broken(it.name)) {
      const long = Math.max(...lines.map(width));
      const high = lines.length * lh;
      const [w, h] = upright ? [high, long] : [long, high];
      if (w > room.x1 - room.x0 || h > room.y1 - room.y0) continue;
      const spread = [0, 0.5, -0.5, 1, -1];
      for (const sy of spread) {
        for (const sx of spread) {
          const at: Pt = [cx + (sx * (room.x1 - room.x0 - w)) / 2, cy + (sy * (room.y1 - room.y0 - h)) / 2];
          const box = around(at, w, h);
          if (taken.free(box) && shy.free(box)) return { name: it.name, lines, at, upright, box, leader: null };
        }
      }
    }
  }
  return null;
}

function besidePart(
  it: NameIn, taken: Taken, width: (t: string) => number, lh: number, bounds: Box, others: readonly Box[], walls: readonly Box[],
): NameAt | null {
  const [cx, cy] = middle(it.box);
  const w = width(it.name) + 4;
  const h = lh;
  for (const off of [10, 22, 38, 58]) {
    const spots: { at: Pt; leader: Pt }[] = [
      { at: [cx, it.box.y0 - off - h / 2], leader: [cx, it.box.y0] },
      { at: [cx, it.box.y1 + off + h / 2], leader: [cx, it.box.y1] },
      { at: [it.box.x1 + off + w / 2, cy], leader: [it.box.x1, cy] },
      { at: [it.box.x0 - off - w / 2, cy], leader: [it.box.x0, cy] },
      { at: [it.box.x1 + w / 2 - 6, it.box.y0 - off - h / 2], leader: [it.box.x1 - 4, it.box.y0] },
      { at: [it.box.x0 - w / 2 + 6, it.box.y0 - off - h / 2], leader: [it.box.x0 + 4, it.box.y0] },
      { at: [it.box.x1 + w / 2 - 6, it.box.y1 + off + h / 2], leader: [it.box.x1 - 4, it.box.y1] },
      { at: [it.box.x0 - w / 2 + 6, it.box.y1 + off + h / 2], leader: [it.box.x0 + 4, it.box.y1] },
    ];
    for (const { at, leader } of spots) {
      const box = around(at, w, h);
      const clear = (b: Box, of: readonly Box[]) => !of.some((o) => overlaps(o, b));
      const line = leaderBox(box, leader);
      if (within(box, bounds) && taken.free(box) && clear(box, others) && clear(box, walls) && clear(line, others) && taken.free(line)) {
        return { name: it.name, lines: [it.name], at, upright: false, box, leader };
      }
    }
  }
  return null;
}

/** From where a leader leaves a name to where it ends, as a thin box. */
function leaderBox(name: Box, end: Pt): Box {
  const from: Pt = [Math.min(Math.max(end[0], name.x0), name.x1), Math.min(Math.max(end[1], name.y0), name.y1)];
  const box = boxOf([from, end]);
  // Its ends touch what they belong to.
  const [dx, dy] = [(box.x1 - box.x0) / 10, (box.y1 - box.y0) / 10];
  return { x0: box.x0 + dx - 0.5, x1: box.x1 - dx + 0.5, y0: box.y0 + dy - 0.5, y1: box.y1 - dy + 0.5 };
}

function around(at: Pt, w: number, h: number): Box {
  return { x0: at[0] - w / 2, y0: at[1] - h / 2, x1: at[0] + w / 2, y1: at[1] + h / 2 };
}

const TAG_RINGS = [24, 36, 50, 66, 86];
const TAG_WAYS = 16;

/**
 * Tags near their spots, worst first as given. `before` keeps a tag where it was while that place is free, so
 * that tags do not jump when something else changes. Tags without room are left out; the list still has them.
 */
export function placeTags(
  tags: readonly TagIn[], taken: Taken, radius: number, before: ReadonlyMap<string, Pt>, bounds: Box,
): TagAt[] {
  const out: TagAt[] = [];
  for (const tag of tags) {
    const put = (offset: Pt): boolean => {
      const at: Pt = [tag.spot[0] + offset[0], tag.spot[1] + offset[1]];
      const box = grown({ ...EMPTY_BOX, x0: at[0], x1: at[0], y0: at[1], y1: at[1] }, radius + 2);
      if (!within(box, bounds) || !taken.free(box)) return false;
      taken.add(box);
      out.push({ ...tag, at, box });
      return true;
    };
    const old = before.get(tag.key);
    if (old && put(old)) continue;
    search: for (const ring of TAG_RINGS) {
      for (let i = 0; i < TAG_WAYS; i++) {
        // Up and to the right first, then alternately to both sides of it.
        const turn = Math.PI / 4 + (i % 2 === 0 ? 1 : -1) * Math.ceil(i / 2) * ((2 * Math.PI) / TAG_WAYS);
        if (put([ring * Math.cos(turn), -ring * Math.sin(turn)])) break search;
      }
    }
  }
  return out;
}
