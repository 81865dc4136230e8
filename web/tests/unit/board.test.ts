import { describe, expect, test } from "vitest";
import { between } from "../../src/board/between.ts";
import type { Feature } from "../../src/board/between.ts";
import { ahead } from "../../src/board/geometry.ts";
import { betweenWhat, worded } from "../../src/board/marks.ts";
import type { Drawn } from "../../src/board/marks.ts";
import type { FindingOn, Pt } from "../../src/talk.ts";

const point = (x: number, y: number): Feature => ({ id: "p", words: "p", at: [x, y] });
const edge = (a: Pt, b: Pt): Feature => ({ id: "e", words: "e", at: a, edge: [a, b] });

describe("what is measured", () => {
  test("between two points, their places", () => {
    expect(between(point(1, 2), point(4, 6))).toEqual({ from: [1, 2], to: [4, 6] });
  });
  test("from an edge square to a point, and the other way round", () => {
    const side = edge([0, 0], [0, 50]);
    expect(between(side, point(12, 20))).toEqual({ from: [0, 20], to: [12, 20] });
    expect(between(point(12, 60), side)).toEqual({ from: [12, 60], to: [0, 50] });
  });
  test("edges beside each other: square, in the middle of what they share", () => {
    expect(between(edge([0, 0], [0, 50]), edge([30, 40], [30, 90]))).toEqual({ from: [0, 45], to: [30, 45] });
  });
  test("edges that lie askew: where they are nearest", () => {
    expect(between(edge([0, 0], [10, 0]), edge([14, 3], [40, 30]))).toEqual({ from: [10, 0], to: [14, 3] });
  });
});

test("walking prefers what lies ahead to what lies aside, and the back is mirrored", () => {
  const all = [{ at: [10, 0] as Pt }, { at: [4, 9] as Pt }, { at: [-6, 0] as Pt }];
  expect(ahead(all, [0, 0], 1, 0, 1)).toBe(all[0]);
  expect(ahead(all, [0, 0], 1, 0, -1)).toBe(all[2]);
  expect(ahead(all, [0, 0], 0, 1, 1)).toBe(all[1]);
  expect(ahead(all, [0, 0], 0, -1, 1)).toBe(null);
});

describe("which marks speak", () => {
  const mark = (kind: "clash" | "room" | "span", words: string, long = 10) =>
    ({ face: "front" as const, kind, words, points: kind === "span" ? [[0, 0], [long, 0]] as Pt[] : [[0, 0], [long, 0], [long, 10], [0, 10]] as Pt[] });
  const one = (key: string, m: Drawn["mark"], pair = "a, b", severity: Drawn["severity"] = "fix"): Drawn => ({ key, severity, mark: m, near: true, between: pair });

  test("one a pair of things, the largest area first", () => {
    const all = [one("t", mark("span", "0.5 mm")), one("t", mark("clash", "2 mm", 3)), one("o", mark("clash", "24 mm", 40)), one("x", mark("clash", "3 mm"), "a, c")];
    expect(worded(all, null).map((d) => d.mark.words)).toEqual(["24 mm", "3 mm"]);
  });
  test("the worse goes before the larger, and what is far away is silent", () => {
    const all = [one("o", mark("clash", "24 mm", 40), "a, b", "look"), one("d", mark("span", "1 mm"), "a, b", "danger"), { ...one("f", mark("clash", "9 mm"), "c, d"), near: false }];
    expect(worded(all, null).map((d) => d.mark.words)).toEqual(["1 mm"]);
  });
  test("the open finding says everything, also whose room it is", () => {
    const all = [one("o", mark("clash", "24 mm", 40)), one("r", mark("room", "screwdriver")), one("r", mark("clash", "5 mm", 2))];
    expect(worded(all, "r").map((d) => d.mark.words).sort()).toEqual(["24 mm", "5 mm", "screwdriver"]);
    expect(worded(all, null).map((d) => d.mark.words)).toEqual(["24 mm"]);
  });
  test("a pair is the same whichever comes first, and wires do not count", () => {
    const f = (...names: [string, string][]) => ({ subjects: names.map(([kind, name]) => ({ kind, name })) }) as unknown as FindingOn;
    expect(betweenWhat(f(["part", "b"], ["part", "a"], ["wire", "w"]))).toBe(betweenWhat(f(["part", "a"], ["part", "b"])));
  });
});
