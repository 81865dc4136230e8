import { describe, expect, it, vi } from "vitest";
import type { Pt } from "../../src/talk.ts";

vi.stubGlobal("matchMedia", () => ({ matches: false, addEventListener: () => {} }));
vi.stubGlobal("localStorage", { getItem: () => null, setItem: () => {} });
vi.stubGlobal("location", { protocol: "http:", host: "x" });
const { LARGEST, MOST_CORNERS, area, footprintOf, readDxf } = await import("../../src/types/dxf.ts");
const { cornered, fitted, measure, toMm, toPixel } = await import("../../src/types/trace.ts");
const { joinRows, mmOf, splitRows } = await import("../../src/editing/corners.ts");
const { moveTo } = await import("../../src/editing/Stands.tsx");

/** A DXF file of these entities, each a list of code and value. */
function dxf(entities: readonly (readonly (string | number)[])[], units: number | null = 4, eol = "\n"): string {
  const head = units === null ? [] : [0, "SECTION", 2, "HEADER", 9, "$INSUNITS", 70, units, 0, "ENDSEC"];
  return [...head, 0, "SECTION", 2, "ENTITIES", ...entities.flat(), 0, "ENDSEC", 0, "EOF"].join(eol) + eol;
}
const line = (a: Pt, b: Pt) => [0, "LINE", 8, "0", 10, a[0], 20, a[1], 30, 0, 11, b[0], 21, b[1], 31, 0];
const circle = (x: number, y: number, r: number) => [0, "CIRCLE", 8, "0", 10, x, 20, y, 40, r];
function drawing(text: string) {
  const read = readDxf(text);
  if (typeof read === "string") throw new Error(read);
  return read;
}

describe("a drawing", () => {
  const plate = [line([10, 20], [70, 20]), line([70, 60], [70, 20]), line([70, 60], [10, 60]), line([10, 20], [10, 60])];
  it("of four lines in any order and direction is a rectangle, with its holes", () => {
    for (const eol of ["\n", "\r\n"]) {
      const f = footprintOf(drawing(dxf([...plate, circle(15, 25, 1.6), circle(65, 55, 1.6), circle(40, 40, 5)], 4, eol)), 1);
      expect(f.rectangle).toEqual([60, 40]);
      expect(f.holes).toEqual([{ diameter: 3.2, at: [[5, 5], [55, 35]] }, { diameter: 10, at: [[30, 20]] }]);
    }
  });
  it("says its unit, or is silent", () => {
    const per = (units: number | null) => drawing(dxf(plate, units)).mmPerUnit;
    expect([per(1), per(4), per(5), per(0), per(null)]).toEqual([25.4, 1, 10, null, null]);
    expect(footprintOf(drawing(dxf(plate, 1)), 25.4).rectangle).toEqual([1524, 1016]);
  });
  it("with bends follows them as near as a facet", () => {
    // A slot of 40 by 20: two straight sides, two half circles by their bulge.
    const slot = [0, "LWPOLYLINE", 90, 4, 70, 1, 10, 10, 20, 0, 10, 30, 20, 0, 42, 1, 10, 30, 20, 20, 10, 10, 20, 20, 42, 1];
    const f = footprintOf(drawing(dxf([slot])), 1);
    expect(Math.abs(area(f.corners))).toBeCloseTo(20 * 20 + Math.PI * 100, 0);
    expect(Math.max(...f.corners.map((p) => p[0]))).toBeCloseTo(40, 2);
    // The same with arcs and lines.
    const arcs = [line([10, 0], [30, 0]), [0, "ARC", 10, 30, 20, 10, 40, 10, 50, 270, 51, 90], line([30, 20], [10, 20]), [0, "ARC", 10, 10, 20, 10, 40, 10, 50, 90, 51, 270]];
    expect(Math.abs(area(footprintOf(drawing(dxf(arcs)), 1).corners))).toBeCloseTo(20 * 20 + Math.PI * 100, 0);
    // And in the older form of a polyline.
    const old = [0, "POLYLINE", 66, 1, 70, 1, ...[[0, 0], [30, 0], [0, 20]].flatMap(([x, y]) => [0, "VERTEX", 10, x!, 20, y!]), 0, "SEQEND"];
    expect(footprintOf(drawing(dxf([old])), 1).corners).toHaveLength(3);
  });
  it("of circles alone is a round part, its middle the origin", () => {
    const f = footprintOf(drawing(dxf([circle(100, 50, 25), circle(90, 50, 1.5), circle(110, 50, 1.5)])), 1);
    expect(f.round).toBe(50);
    expect(f.holes).toEqual([{ diameter: 3, at: [[-10, 0], [10, 0]] }]);
  });
  it("says what it leaves out", () => {
    const f = footprintOf(drawing(dxf([...plate, [0, "SPLINE", 10, 1, 20, 1], [0, "MTEXT", 1, "<img src=x onerror=alert(1)>"], line([0, 0], [5, 5])])), 1);
    expect(f.left.join(", ")).toBe("1 × SPLINE, 1 × MTEXT, 1 line that does not close");
  });
  it("that is none, too large or broken is refused in words", () => {
    expect(readDxf("")).toContain("no");
    expect(readDxf("hello\nworld\n")).toContain("does not read like a DXF");
    expect(readDxf("a\0b")).toContain("binary");
    expect(readDxf("0".repeat(LARGEST + 1))).toContain("million");
    expect(readDxf(dxf([[0, "TEXT", 1, "x"]]))).toContain("no closed outline");
    expect(readDxf(dxf([[0, "CIRCLE", 10, "NaN", 20, 0, 40, 5]]))).toContain("no closed outline");
    expect(readDxf(dxf([[0, "CIRCLE", 10, 0, 20, 0, 40, -5]]))).toContain("no closed outline");
    expect(readDxf(dxf([[0, "LINE", 10, 1e300, 20, 0, 11, 5, 21, 5]]))).toContain("no closed outline");
    expect(readDxf("0\nSECTION\n2\nENTITIES\nx\n1\n")).toContain("line 5");
    const star = Array.from({ length: MOST_CORNERS + 1 }, (_, i) => {
      const [a, r] = [(i * 2 * Math.PI) / (MOST_CORNERS + 1), i % 2 ? 100 : 90];
      return [10, r * Math.cos(a), 20, r * Math.sin(a)];
    }).flat();
    expect(readDxf(dxf([[0, "LWPOLYLINE", 70, 1, ...star]]))).toContain("at most 2000");
  });
  it("of very many lines is read or refused before one tires of waiting", () => {
    const many = Array.from({ length: 20_001 }, (_, i) => line([i, 0], [i, 1]));
    expect(readDxf(dxf(many))).toContain("more than 20000 shapes");
    const began = performance.now();
    readDxf(dxf(many.slice(0, 19_990)));
    // All ends in one spot is the worst for finding which goes on.
    readDxf(dxf(Array.from({ length: 19_990 }, () => line([0, 0], [1, 1]))));
    expect(performance.now() - began).toBeLessThan(5000);
  });
});

describe("a photo", () => {
  it("has its scale and its turn from two spots", () => {
    // 100 mm between two spots 200 pixels apart, on a photo turned by 30 degrees.
    const a: Pt = [300, 400];
    const b: Pt = [300 + 200 * Math.cos(Math.PI / 6), 400 - 200 * Math.sin(Math.PI / 6)];
    const f = fitted({ a, b, mm: 100, runs: "across" }, a)!;
    expect(f.mmPerPixel).toBeCloseTo(0.5);
    const [x, y] = toMm(f, b);
    expect(x).toBeCloseTo(100);
    expect(y).toBeCloseTo(0);
    // From the right it is the same photo, not one upside down.
    expect(fitted({ a: b, b: a, mm: 100, runs: "across" }, a)!.turn).toBeCloseTo(f.turn);
    expect(fitted({ a, b, mm: 100, runs: "any" })!.turn).toBe(0);
    const spot: Pt = [123, 456];
    const [u, v] = toPixel(f, toMm(f, spot));
    expect(u).toBeCloseTo(123);
    expect(v).toBeCloseTo(456);
  });
  it("measures from the lower left of what was clicked", () => {
    const f = cornered(fitted({ a: [0, 0], b: [100, 0], mm: 50, runs: "across" })!, [[40, 90], [80, 20]]);
    expect(toMm(f, [40, 90])).toEqual([0, 0]);
    expect(toMm(f, [80, 20])).toEqual([20, 35]);
    expect(measure(20.04, "mm")).toBe("20 mm");
    expect(measure(-0.01, "mm")).toBe("0 mm");
    expect(measure(12.7, "inch")).toBe("0.5 in");
  });
  it("has no scale from one spot twice, or from no length", () => {
    expect(fitted({ a: [1, 1], b: [1, 1], mm: 50, runs: "any" })).toBeNull();
    expect(fitted({ a: [0, 0], b: [9, 9], mm: 0, runs: "any" })).toBeNull();
    expect(fitted({ a: [0, 0], b: [9, 9], mm: NaN, runs: "any" })).toBeNull();
  });
});

describe("corners", () => {
  it("go from text to rows and back", () => {
    const plain = splitRows("0, 0; 240, 0; 240, 160 mm", false, "mm");
    expect(plain).toEqual({ unit: "mm", rows: [{ x: "0", y: "0" }, { x: "240", y: "0" }, { x: "240", y: "160" }] });
    expect(joinRows(plain.rows, "mm")).toBe("0 mm, 0 mm; 240 mm, 0 mm; 240 mm, 160 mm");
    const pins = splitRows("front 1, 2 in; back 3, 4 mm", true, "mm");
    expect(pins.unit).toBe("mm");
    expect(pins.rows).toEqual([{ face: "front", x: "1 in", y: "2 in" }, { face: "back", x: "3", y: "4" }]);
    expect(joinRows(pins.rows, "mm")).toBe("front 1 in, 2 in; back 3 mm, 4 mm");
    expect(splitRows("", false, "in")).toEqual({ unit: "in", rows: [] });
    expect(mmOf({ x: "1", y: "2 cm" }, "in")).toEqual([25.4, 20]);
    expect(mmOf({ x: "1e9", y: "2" }, "mm")).toBeNull();
  });
});

describe("a part that moves", () => {
  it("leaves behind what held only where it was", () => {
    const keys = (edits: ReturnType<typeof moveTo>) => edits.map((e) => ("set" in e ? `+${e.set.key}` : "unset" in e ? `-${e.unset.key}` : "?"));
    expect(keys(moveTo("a", "board", { zone: "mast" }, [1, 2]))).toEqual(["-face", "-at", "-turn", "+zone"]);
    expect(keys(moveTo("a", "zone", { face: "back" }, [1, 2]))).toEqual(["-zone", "-lead", "+face", "+at"]);
    expect(keys(moveTo("a", "board", { face: "back" }, [1, 2]))).toEqual(["+face"]);
    expect(keys(moveTo("a", "zone", { zone: "leg" }, [1, 2]))).toEqual(["+zone"]);
  });
});
