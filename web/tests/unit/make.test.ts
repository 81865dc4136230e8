import { describe, expect, it } from "vitest";
import { attributeFits, elementFits } from "../../src/drawn/check.ts";
import { count, itemsOf, stateOf } from "../../src/make/ticks.ts";
import { fileName, size } from "../../src/make/papers.ts";
import { begun, fitted, next, showing, zoomed } from "../../src/power/frame.ts";
import { fastest } from "../../src/situations/fastest.ts";
import type { CutOn, MakeOn, Tick } from "../../src/talk.ts";

describe("what a drawing may hold", () => {
  it("takes what the program draws with", () => {
    for (const [name, value] of [
      ["x", "-12.5"], ["width", "170mm"], ["fill", "#fdfbf5"], ["fill", "none"], ["d", "M1 2L3 4A1 1 0 0 1 5 6Z"], ["class", "box"],
      ["transform", "rotate(-90 12.5 3)"], ["clip-path", "url(#clip-3)"], ["id", "clip-3"], ["stroke-dasharray", "2 1.2"],
      ["data-name", "<script>"], ["font-family", "Libertinus Serif, Georgia, Times New Roman, serif"],
    ] as const) expect(attributeFits(name, value), `${name}=${value}`).toBe(true);
  });
  it("takes nothing that could do anything", () => {
    for (const name of ["script", "foreignObject", "image", "use", "a", "animate", "set", "style", "iframe"]) expect(elementFits(name), name).toBe(false);
    for (const [name, value] of [
      ["onload", "x"], ["onclick", "x"], ["href", "#a"], ["xlink:href", "x"], ["style", "fill:red"], ["fill", "url(http://x)"], ["fill", "url(#a)"],
      ["clip-path", "url(http://x#clip-1)"], ["id", "desk"], ["d", "M1 2 url(x)"], ["class", "a\"b"], ["transform", "matrix(1 0 0 1 0 0)"], ["src", "x"],
    ] as const) expect(attributeFits(name, value), `${name}=${value}`).toBe(false);
  });
});

describe("ticks", () => {
  const end = { at: "a.b", fit: "ferrule", strip_mm: 8 };
  const cut = (wire: string, cut_mm: number): CutOn => ({ wire, reel: "r", colour: "#000000", cut_mm, from: end, to: end, note: "" });
  const make: MakeOn = { paper: "A4", measured: "", steps: [], stages: [], fasteners: [], shopping: [], cuts: [cut("a", 300), cut("b", 250), cut("own", 0)] };
  const ticked = (name: string, said: string): Tick => ({ list: "cut", name, said });
  it("counts what is done, and apart from it what has changed since", () => {
    const items = itemsOf(make, "cut");
    expect(items.map((i) => i.key), "a lead that comes with a part is not cut").toEqual(["a", "b"]);
    expect(count([], "cut", items)).toEqual({ done: 0, other: 0, all: 2 });
    expect(count([ticked("a", "300 mm"), ticked("b", "240 mm"), ticked("gone", "1 mm")], "cut", items)).toEqual({ done: 1, other: 1, all: 2 });
    expect(count([{ list: "step", name: "a", said: "300 mm" }], "cut", items).done, "of another list").toBe(0);
  });
  it("knows each thing's state", () => {
    const item = { key: "a", said: "300 mm" };
    expect(stateOf([], "cut", item)).toBe("open");
    expect(stateOf([ticked("a", "300 mm")], "cut", item)).toBe("done");
    expect(stateOf([ticked("a", "290 mm")], "cut", item)).toBe("other");
  });
});

describe("papers", () => {
  it("have names that every system takes", () => {
    expect(fileName("Samovar, first try", "book.pdf")).toBe("samovar-first-try-book.pdf");
    expect(fileName("../../etc", "front.dxf")).toBe("etc-front.dxf");
    expect(fileName("†", "cutlist.csv")).toBe("cutlist.csv");
  });
  it("have a size", () => {
    expect(size(1_449_000)).toBe("1.4\u202fMB");
    expect(size(300)).toBe("1\u202fkB");
  });
});

describe("the diagram's frame", () => {
  const look = { x: 0, y: 0, k: 2, w: 800, h: 600 };
  it("zooms about the pointer", () => {
    const near = zoomed(look, 3, [200, 100]);
    expect(near.k).toBe(6);
    expect(near.x + 200 / near.k).toBeCloseTo(100);
    expect(near.y + 100 / near.k).toBeCloseTo(50);
  });
  it("shows all of it below the tools", () => {
    const box = { x: -4, y: -4, w: 300, h: 400 };
    const f = fitted(look, box, 16, 54);
    const at = (x: number, y: number) => [(x - f.x) * f.k, (y - f.y) * f.k] as const;
    const [left, top] = at(box.x, box.y);
    const [right, bottom] = at(box.x + box.w, box.y + box.h);
    expect(top).toBeCloseTo(54);
    expect(bottom).toBeCloseTo(584);
    expect(left).toBeGreaterThan(15);
    expect(800 - right).toBeCloseTo(left);
  });
  it("begins at the battery when all of it were too small to read", () => {
    const wide = { x: -4, y: -4, w: 1000, h: 200 };
    const f = begun(look, wide, 16, 54, 2.7);
    expect(f.k).toBeCloseTo(530 / 200);
    expect((wide.x - f.x) * f.k).toBeCloseTo(16);
    expect(begun(look, { ...wide, w: 200 }, 16, 54, 2)).toEqual(fitted(look, { ...wide, w: 200 }, 16, 54));
  });
  it("leaves what is well in the picture where it is", () => {
    expect(showing(look, { x: 100, y: 100, w: 40, h: 20 }, 1)).toBe(look);
    const moved = showing(look, { x: 900, y: 100, w: 40, h: 20 }, 1);
    expect((920 - moved.x) * moved.k).toBeCloseTo(400);
  });
  it("walks ahead rather than aside", () => {
    const box = (name: string, x: number, y: number) => ({ name, x, y, w: 10, h: 10 });
    const boxes = [box("a", 0, 0), box("b", 50, 5), box("c", 20, 80), box("d", 0, 40)];
    expect(next(boxes, "a", 1, 0)).toBe("b");
    expect(next(boxes, "a", 0, 1)).toBe("d");
    expect(next(boxes, "a", -1, 0)).toBeNull();
    expect(next(boxes, "gone", 1, 0)).toBe("a");
  });
});

describe("the slider of speeds", () => {
  it("reaches beyond what the files say, and no farther than the desk solves", () => {
    expect(fastest(0)).toBe(2);
    expect(fastest(1.4)).toBe(3);
    expect(fastest(9)).toBe(10);
  });
});
