import { describe, expect, it, vi } from "vitest";

vi.stubGlobal("matchMedia", () => ({ matches: false, addEventListener: () => {} }));
vi.stubGlobal("localStorage", { getItem: () => null, setItem: () => {} });
vi.stubGlobal("location", { protocol: "http:", host: "x" });
const { freeName } = await import("../../src/editing/bench.ts");
const { drawn, handles, pulled, setShape } = await import("../../src/editing/openings.ts");

describe("names", () => {
  it("count on from what is taken", () => {
    expect(freeName("fuses", new Set())).toBe("fuses");
    expect(freeName("fuses", new Set(["fuses"]))).toBe("fuses-2");
    expect(freeName("lamp-2", new Set(["lamp-2", "lamp-3"]))).toBe("lamp-4");
  });
});

describe("openings", () => {
  it("are drawn along their longer side", () => {
    setShape("slot");
    expect(drawn([0, 0], [40, 20])).toEqual({ at: [20, 10], length: 40, width: 20, turn: 0, round: false });
    expect(drawn([20, 60], [0, 0])).toEqual({ at: [10, 30], length: 60, width: 20, turn: 90, round: false });
    expect(drawn([0, 0], [0.2, 0.3])).toBeNull();
    setShape("round");
    expect(drawn([50, 50], [65, 50])).toEqual({ at: [50, 50], length: 30, width: 30, turn: 0, round: true });
  });
  it("are pulled by their handles about their middle", () => {
    const slot = { at: [100, 100] as [number, number], length: 40, width: 20, turn: 90, round: false };
    const [length, width] = handles(slot);
    expect(length!.at[1]).toBeCloseTo(120);
    expect(width!.at[0]).toBeCloseTo(90);
    expect(pulled(slot, "length", [0, 10])).toMatchObject({ length: 60, width: 20, at: [100, 100] });
    expect(pulled(slot, "width", [-5, 0])).toMatchObject({ length: 40, width: 30 });
    expect(pulled(slot, "width", [-50, 0]).width).toBe(40);
    expect(pulled(slot, "length", [0, -50]).length).toBe(20);
    expect(pulled(slot, "move", [12, -3])).toMatchObject({ at: [110, 95] });
    const round = { ...slot, round: true, width: 40 };
    expect(handles(round)).toHaveLength(1);
  });
});
