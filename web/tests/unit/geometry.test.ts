import { describe, expect, it } from "vitest";
import { along, bentPath, boxOf, gap, inside, lengthOf, nearestOnSegment, outlinePath, turned, wrapped } from "../../src/board/geometry.ts";
import { fitted, panned, showing, sized, tickStep, toBoard, toScreen, zoomed } from "../../src/board/frame.ts";
import type { Frame } from "../../src/board/frame.ts";
import type { Pt } from "../../src/talk.ts";

const square = (x: number, y: number, s: number): Pt[] => [[x, y], [x + s, y], [x + s, y + s], [x, y + s]];

describe("geometry", () => {
  it("measures the free width between outlines", () => {
    expect(gap(square(0, 0, 10), square(13, 0, 10)).mm).toBeCloseTo(3);
    // Corner to corner: 3 across and 4 up.
    expect(gap(square(0, 0, 10), square(13, 14, 10)).mm).toBeCloseTo(5);
    expect(gap(square(0, 0, 10), square(5, 5, 10)).mm).toBe(0);
    expect(gap(square(0, 0, 10), square(2, 2, 3)).mm).toBe(0);
    // A cross whose arms hold no corner of each other.
    expect(gap([[0, 4], [10, 4], [10, 6], [0, 6]], [[4, 0], [6, 0], [6, 10], [4, 10]]).mm).toBe(0);
  });
  it("tells inside from outside", () => {
    expect(inside([5, 5], square(0, 0, 10))).toBe(true);
    expect(inside([15, 5], square(0, 0, 10))).toBe(false);
  });
  it("turns counter-clockwise", () => {
    const [x, y] = turned([1, 0], [0, 0], 90);
    expect(x).toBeCloseTo(0);
    expect(y).toBeCloseTo(1);
    expect(wrapped(-90)).toBe(270);
    expect(wrapped(360)).toBe(0);
  });
  it("finds points on segments and lines", () => {
    expect(nearestOnSegment([5, 3], [0, 0], [10, 0])).toEqual([5, 0]);
    expect(nearestOnSegment([-5, 3], [0, 0], [10, 0])).toEqual([0, 0]);
    expect(nearestOnSegment([1, 1], [2, 2], [2, 2])).toEqual([2, 2]);
    expect(along([[0, 0], [10, 0], [10, 10]], 0.75)).toEqual([10, 5]);
    expect(lengthOf([[0, 0], [3, 4]])).toBe(5);
  });
  it("rounds a bend with its radius, and never more than fits", () => {
    // A right angle: the arc begins and ends one radius from the corner, turning left.
    expect(bentPath([[0, 0], [20, 0], [20, 20]], [5])).toBe("M0 0L15 0A5 5 0 0 1 20 5L20 20");
    expect(bentPath([[0, 0], [20, 0], [20, -20]], [5])).toBe("M0 0L15 0A5 5 0 0 0 20 -5L20 -20");
    expect(bentPath([[0, 0], [4, 0], [4, 20]], [5])).toBe("M0 0L2 0A2 2 0 0 1 4 2L4 20");
    // One radius a point reads the same as one a bend.
    expect(bentPath([[0, 0], [20, 0], [20, 20]], [0, 5, 0])).toBe(bentPath([[0, 0], [20, 0], [20, 20]], [5]));
    expect(bentPath([[0, 0]], [])).toBe("");
    expect(outlinePath([[0, 0], [1, 0], [1, 1]])).toBe("M0 0L1 0L1 1Z");
  });
});

describe("frame", () => {
  const f: Frame = { cx: 300, cy: 200, k: 2, m: 1, w: 800, h: 600, mx: 400, my: 300 };
  const back = { ...f, m: -1 };
  it("goes there and back on both faces", () => {
    for (const frame of [f, back]) {
      const p: Pt = [123.4, 56.7];
      const [x, y] = toBoard(frame, toScreen(frame, p));
      expect(x).toBeCloseTo(p[0]);
      expect(y).toBeCloseTo(p[1]);
    }
  });
  it("mirrors the back left to right and nothing else", () => {
    expect(toScreen(f, [310, 210])).toEqual([420, 280]);
    expect(toScreen(back, [310, 210])).toEqual([380, 280]);
  });
  it("keeps what is under the pointer under it", () => {
    for (const frame of [f, back]) {
      const at: Pt = [650, 120];
      const under = toBoard(frame, at);
      const z = zoomed(frame, 1.7, at);
      expect(z.k).toBeCloseTo(3.4);
      expect(toScreen(z, under)[0]).toBeCloseTo(at[0]);
      expect(toScreen(z, under)[1]).toBeCloseTo(at[1]);
    }
  });
  it("pans with the hand", () => {
    for (const frame of [f, back]) {
      const start = toScreen(frame, [0, 0]);
      const end = toScreen(panned(frame, 30, -20), [0, 0]);
      expect(end[0] - start[0]).toBeCloseTo(30);
      expect(end[1] - start[1]).toBeCloseTo(-20);
    }
  });
  it("fits the board between the rulers, and it lies the same turned over", () => {
    const lies = (frame: Frame) => {
      const fit = fitted(sized(frame, 800, 600, 36), { x0: 0, y0: 0, x1: 600, y1: 420 }, 40, 66, 36);
      return boxOf([toScreen(fit, [0, 0]), toScreen(fit, [600, 420])]);
    };
    const box = lies(f);
    expect(box.x0).toBeGreaterThanOrEqual(36 + 40 - 1e-6);
    expect(box.x1).toBeLessThanOrEqual(760 + 1e-6);
    expect(box.y0).toBeGreaterThanOrEqual(66 - 1e-6);
    expect(box.y1).toBeLessThanOrEqual(600 - 36 - 36 + 1e-6);
    for (const side of ["x0", "x1", "y0", "y1"] as const) expect(lies(back)[side]).toBeCloseTo(box[side]);
  });
  it("moves the picture only when the place is not in it", () => {
    expect(showing(f, [310, 210], 1)).toBe(f);
    expect(showing(f, [900, 210], 1)).toMatchObject({ cx: 900, cy: 210 });
  });
  it("steps its rulers by 1, 2 or 5", () => {
    expect(tickStep(2, 58, 1)).toBe(50);
    expect(tickStep(10, 58, 1)).toBe(10);
    expect(tickStep(1, 58, 25.4)).toBe(5);
  });
});
