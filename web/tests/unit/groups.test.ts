import { expect, test } from "vitest";
import type { FindingOn, Severity } from "../../src/talk.ts";
import { grouped } from "../../src/state/groups.ts";

function finding(key: string, severity: Severity, subject: [string, string] | null, changes: string[][] = []): FindingOn {
  return {
    key, severity, slug: key, title: "", what: "", why: "", source: "", values: [], limits: [], situation: null, spot: null, marks: [],
    deep: false, subjects: subject ? [{ kind: subject[0], name: subject[1] }] : [],
    remedies: changes.map((changes) => ({ text: "", can_be_applied: changes.length > 0, changes })),
  } as unknown as FindingOn;
}

const keys = (findings: FindingOn[]) => grouped(findings).map((g) => g.items.map((i) => i.finding.key));

test("what is about one thing stands together, the worst first", () => {
  expect(keys([
    finding("a", "look", ["part", "heart"]), finding("b", "danger", ["part", "lamp"]), finding("c", "fix", ["part", "heart"]),
  ])).toEqual([["b"], ["c", "a"]]);
});

test("what the same change mends stands together, over further ones too", () => {
  const found = [
    finding("a", "fix", ["part", "heart"], [["board  vents"]]),
    finding("b", "danger", ["wire", "feed"], [["wire feed size"]]),
    finding("c", "look", ["part", "lamp"], [["board  vents", "wire feed size"]]),
  ];
  expect(keys(found)).toEqual([["b", "a", "c"]]);
  expect(grouped(found)[0]!.about.map((a) => a.name)).toEqual(["feed", "heart", "lamp"]);
});

test("only the first remedy that can be written counts", () => {
  expect(keys([
    finding("a", "fix", ["part", "heart"], [[], ["part heart at"], ["part lamp at"]]),
    finding("b", "fix", ["part", "lamp"], [["part lamp at"]]),
  ])).toEqual([["a"], ["b"]]);
});

test("what is about the whole robot is not mended together for that", () => {
  expect(keys([finding("a", "fix", ["robot", ""]), finding("b", "fix", ["robot", ""])])).toEqual([["a"], ["b"]]);
});

test("every finding has its number once", () => {
  const found = [finding("a", "note", null), finding("b", "fix", ["part", "x"]), finding("c", "fix", ["part", "y"], [["part x at"]])];
  const numbers = grouped(found).flatMap((g) => g.items.map((i) => i.number));
  expect(numbers).toEqual([1, 2, 3]);
});
