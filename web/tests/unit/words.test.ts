import { describe, expect, it } from "vitest";
import { amps, celsius, drop, length, named, plain, readLength } from "../../src/words/numbers.ts";
import { listed } from "../../src/words/say.ts";
import { pieces } from "../../src/words/pieces.ts";
import { found } from "../../src/lists/found.ts";

const thin = (text: string) => text.replace(/\u202f/gu, " ");

describe("numbers", () => {
  it("has no more digits than are known", () => {
    expect(plain(1234.6)).toBe("1235");
    expect(plain(33.71)).toBe("33.7");
    expect(plain(1.5)).toBe("1.5");
    expect(plain(0.7191)).toBe("0.719");
    expect(plain(-0.0001)).toBe("0");
    expect(plain(-2)).toBe("\u22122");
    expect(plain(Number.NaN)).toBe("–");
  });
  it("names a number from its key", () => {
    expect(named("highest_temperature_c", 94.3, "mm")).toEqual({ label: "highest temperature", text: "94\u202f°C" });
    expect(named("air_mm", 3.25, "mm").text).toBe("3.3\u202fmm");
    expect(named("air_mm", 25.4, "inch").text).toBe("1\u202fin");
    expect([30, 108_785, 7_776_000, 5400].map((v) => named("time_s", v, "mm").text)).toEqual(["30\u202fs", "30.2\u202fh", "90\u202fdays", "90\u202fmin"]);
    expect(named("speed_m_s", 1.8, "mm")).toEqual({ label: "speed", text: "1.8\u202fm/s" });
    expect(named("area_mm2", 2.5, "mm").text).toBe("2.5\u202fmm²");
    expect(named("wire_count", 5, "mm")).toEqual({ label: "wire", text: "5" });
    expect(named("unheard_of", 5, "mm")).toEqual({ label: "unheard of", text: "5" });
  });
  it("speaks of currents, drops and temperatures", () => {
    expect(thin(amps(18.204))).toBe("18.2 A");
    expect(thin(drop(0.0104))).toBe("10 mV");
    expect(thin(drop(1.27))).toBe("1.27 V");
    expect(thin(celsius(-3.2))).toBe("\u22123 °C");
    expect(thin(length(190, "mm"))).toBe("190 mm");
  });
  it("reads lengths as people type them", () => {
    expect(readLength("12,5", "mm")).toBe(12.5);
    expect(readLength(" 1 in", "mm")).toBeCloseTo(25.4);
    expect(readLength("2", "inch")).toBeCloseTo(50.8);
    expect(readLength("50 mm", "inch")).toBe(50);
    expect(readLength("-3", "mm")).toBe(-3);
    for (const text of ["", "x", "1e999", "12 m", "1.2.3", "NaN"]) expect(readLength(text, "mm")).toBeNull();
  });
});

describe("texts from the program", () => {
  it("sets names apart", () => {
    expect(pieces("asked for 4.4 A in `show` and `stalled`.")).toEqual(["asked for 4.4 A in ", "show", " and ", "stalled", "."]);
    expect(pieces("plain")).toEqual(["plain"]);
    expect(pieces("at 2.0\u2009m/s").join("")).toBe("at 2.0\u202fm/s");
    expect(pieces("one ` alone")).toEqual(["one ` alone"]);
    expect(pieces("`a` and ` alone")).toEqual(["", "a", " and ` alone"]);
  });
});

describe("sentences and looking up", () => {
  it("lists names", () => {
    expect(listed([])).toBe("");
    expect(listed(["a", "b"])).toBe("a and b");
    expect(listed(["a", "b", "c", "d"])).toBe("a, b and 2 more");
  });
  it("finds words in any order and case", () => {
    expect(found("HEART 10", "heart-1 battery 10 mm²")).toBe(true);
    expect(found("heart 25", "heart-1 battery 10 mm²")).toBe(false);
    expect(found("", "anything")).toBe(true);
  });
});
