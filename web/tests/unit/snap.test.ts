import { describe, expect, it } from "vitest";
import { aligned, spaced } from "../../src/board/arrange.ts";
import { restsOf, snapped, tidy } from "../../src/board/snap.ts";
import type { Pt } from "../../src/talk.ts";

const box = { x0: 0, y0: 0, x1: 20, y1: 10 };
const none = { x: [], y: [] };

describe("coming to rest", () => {
  const rests = restsOf([{ name: "neighbour", box: { x0: 50, y0: 40, x1: 90, y1: 60 } }], [{ name: "bolt", at: [30, 80] }]);

  it("goes to the grid when nothing is near", () => {
    expect(snapped([11.2, 3.4], box, [0, 0], none, 2, 5)).toMatchObject({ dx: 10, dy: 5, x: null, y: null });
    expect(snapped([11.2, 3.4], box, [0, 0], none, 2, 0)).toMatchObject({ dx: 11.2, dy: 3.4 });
  });
  it("puts the place on the grid, not the shift", () => {
    expect(snapped([4, 0], box, [3, 0], none, 2, 5).dx).toBe(2);
  });
  it("meets a neighbour's edge with either of its own", () => {
    const right = snapped([29, 0], box, [0, 0], rests, 2, 5);
    expect(right.dx).toBe(30);
    expect(right.x).toMatchObject({ of: "neighbour", what: "edge" });
    expect(snapped([51, 0], box, [0, 0], rests, 2, 5).dx).toBe(50);
  });
  it("meets centres with its centre, also a hole's", () => {
    const s = snapped([61, 75.5], box, [0, 0], rests, 2, 5);
    expect(s.dx).toBe(60);
    expect(s.x).toMatchObject({ what: "centre" });
    expect(s.dy).toBe(75);
    expect(s.y).toMatchObject({ what: "hole", of: "bolt" });
  });
  it("does not reach farther than it may", () => {
    expect(snapped([27.9, 0], box, [0, 0], rests, 2, 0).dx).toBe(27.9);
  });
  it("writes hundredths and no minus nought", () => {
    expect(tidy(12.3456)).toBe(12.35);
    expect(Object.is(tidy(-0.001), 0)).toBe(true);
  });
});

describe("arranging", () => {
  const at = (name: string, x: number, y: number, w = 10, h = 10) => ({
    name, at: [x, y] as Pt, box: { x0: x, y0: y, x1: x + w, y1: y + h },
  });
  it("lines up edges and centres, and moves only what is off", () => {
    const parts = [at("a", 0, 0), at("b", 7, 30, 20), at("c", 3, 60)];
    expect(aligned(parts, "left")).toEqual([{ name: "b", to: [0, 30] }, { name: "c", to: [0, 60] }]);
    expect(aligned(parts, "right")).toEqual([{ name: "a", to: [17, 0] }, { name: "c", to: [17, 60] }]);
    expect(aligned(parts, "up").map((m) => m.to[0])).toEqual([8.5, 3.5, 8.5]);
    expect(aligned([parts[0]!], "left")).toEqual([]);
  });
  it("makes gaps equal and leaves the outermost", () => {
    const parts = [at("c", 100, 0), at("a", 0, 0), at("b", 12, 0, 30)];
    // 110 wide, 50 taken: two gaps of 30.
    expect(spaced(parts, "across")).toEqual([{ name: "b", to: [40, 0] }]);
    expect(spaced(parts.slice(0, 2), "across")).toEqual([]);
  });
});
