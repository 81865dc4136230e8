import { describe, expect, it } from "vitest";
import { Taken, broken, placeNames, placeTags } from "../../src/board/labels.ts";
import { overlaps, within } from "../../src/board/geometry.ts";
import type { Box } from "../../src/board/geometry.ts";

const width = (text: string) => text.length * 8;
const box = (x: number, y: number, w: number, h: number): Box => ({ x0: x, y0: y, x1: x + w, y1: y + h });
const everywhere = box(-1e4, -1e4, 2e4, 2e4);

describe("names", () => {
  it("breaks at hyphens, most even first", () => {
    expect(broken("stop-contactor")).toEqual([["stop-contactor"], ["stop-", "contactor"]]);
    expect(broken("a-b-cc")[2]).toEqual(["a-", "b-", "cc"]);
    expect(broken("lid")).toEqual([["lid"]]);
  });
  it("puts a name inside when it fits, lying, broken or upright", () => {
    const one = (w: number, h: number) => placeNames([{ name: "stop-contactor", box: box(0, 0, w, h) }], new Taken(), width, 17)[0]!;
    expect(one(140, 30)).toMatchObject({ lines: ["stop-contactor"], upright: false, leader: null });
    expect(one(90, 60)).toMatchObject({ lines: ["stop-", "contactor"], upright: false, leader: null });
    expect(one(30, 140)).toMatchObject({ upright: true, leader: null });
  });
  it("leads out what does not fit, and lies on no other part", () => {
    const names = [
      { name: "left-fuse", box: box(0, 0, 40, 20) },
      { name: "right-fuse", box: box(0, 32, 40, 20) },
    ];
    const out = placeNames(names, new Taken(), width, 17);
    expect(out).toHaveLength(2);
    for (const n of out) {
      expect(n.leader).not.toBeNull();
      for (const other of names) expect(overlaps(n.box, other.box)).toBe(false);
    }
    expect(overlaps(out[0]!.box, out[1]!.box)).toBe(false);
  });
  it("leads across no other part", () => {
    // Two flat parts over one another, hemmed in at both sides: the lower one's name goes below, not above the upper.
    const names = [
      { name: "left-plug", box: box(0, 0, 46, 18) }, { name: "right-plug", box: box(0, 26, 46, 18) },
      { name: "a-wide-part-at-the-left", box: box(-400, -100, 395, 300) }, { name: "a-wide-part-at-the-right", box: box(50, -100, 400, 300) },
    ];
    for (const n of placeNames(names, new Taken(), width, 17)) {
      const own = names.find((x) => x.name === n.name)!;
      if (n.leader) expect(n.at[1] < own.box.y0 || n.name === "right-plug").toBe(true);
      if (n.leader && n.name === "right-plug") expect(n.at[1]).toBeGreaterThan(own.box.y1);
    }
  });
  it("lies across no wall, and is left out from afar", () => {
    const part = [{ name: "front-foot-1", box: box(0, 0, 20, 20) }];
    const walls = [box(-200, -25, 400, 2)];
    const [n] = placeNames(part, new Taken(), width, 17, { walls });
    expect(overlaps(n!.box, walls[0]!)).toBe(false);
    expect(placeNames(part, new Taken(), width, 17, { insideOnly: true })).toEqual([]);
  });
  it("drops names rather than laying them on one another", () => {
    const crowd = Array.from({ length: 80 }, (_, i) => ({ name: `part-number-${i}`, box: box((i % 10) * 22, Math.floor(i / 10) * 22, 20, 20) }));
    const out = placeNames(crowd, new Taken(), width, 17, { bounds: box(-30, -30, 280, 240) });
    expect(out.length).toBeLessThan(80);
    for (const [i, a] of out.entries()) for (const b of out.slice(i + 1)) expect(overlaps(a.box, b.box)).toBe(false);
  });
  it("keeps off the spots of tags when there is other room", () => {
    const shy = new Taken();
    shy.add(box(60, 25, 10, 10));
    const [n] = placeNames([{ name: "heart", box: box(0, 0, 130, 60) }], new Taken(), width, 17, { shy });
    expect(overlaps(n!.box, box(60, 25, 10, 10))).toBe(false);
    expect(within(n!.box, box(0, 0, 130, 60))).toBe(true);
  });
});

describe("tags", () => {
  it("keeps them apart and on short leaders", () => {
    const tags = Array.from({ length: 12 }, (_, i) => ({ key: `k${i}`, number: String(i), spot: [0, 0] as [number, number] }));
    const out = placeTags(tags, new Taken(), 13, new Map(), everywhere);
    expect(out).toHaveLength(12);
    for (const [i, a] of out.entries()) {
      expect(Math.hypot(a.at[0], a.at[1])).toBeLessThan(90);
      for (const b of out.slice(i + 1)) expect(overlaps(a.box, b.box)).toBe(false);
    }
  });
  it("leaves a tag where it was", () => {
    const [tag] = placeTags([{ key: "a", number: "1", spot: [10, 10] }], new Taken(), 13, new Map([["a", [-40, 3]]]), everywhere);
    expect(tag!.at).toEqual([-30, 13]);
  });
  it("leaves out what has no room, from the end of the list", () => {
    const tags = ["worst", "other"].map((key) => ({ key, number: "1", spot: [0, 0] as [number, number] }));
    const out = placeTags(tags, new Taken(), 13, new Map(), box(0, -50, 45, 50));
    expect(out.map((t) => t.key)).toEqual(["worst"]);
  });
});
