import { describe, expect, it } from "vitest";
import { Hand } from "../../src/talk/hand.ts";
import type { Found, Outcome, Waiting } from "../../src/talk/hand.ts";
import { Line } from "../../src/talk/socket.ts";
import type { Wire } from "../../src/talk/socket.ts";
import type { Ask, Edit, Tell } from "../../src/talk.ts";

const at = (x: number): Edit[] => [{ set: { on: { kind: "part", name: "heart" }, key: "at", value: { point_mm: [x, 0] } } }];
const study = (rev: number, answers?: number): Tell => ({ tell: "study", rev, answers, trying: false, deep: false, sections: {} });

function bench() {
  const said: Ask[] = [];
  const settled: [string, Outcome][] = [];
  const frames: (() => void)[] = [];
  const state = { open: true, rev: 7 };
  const hand = new Hand({
    say: (ask) => (state.open ? (said.push(ask), true) : false),
    rev: () => state.rev,
    settled: (edit: Waiting, outcome) => settled.push([edit.words, outcome]),
    frame: (run) => frames.push(run),
  });
  return { hand, said, settled, frames, state, picture: () => frames.splice(0).forEach((run) => run()) };
}
const untouched = (): Found => "untouched";

describe("the hand", () => {
  it("says one try a picture, the latest", () => {
    const b = bench();
    b.hand.try(at(1));
    b.hand.try(at(2));
    b.hand.try(at(3));
    expect(b.said).toEqual([]);
    b.picture();
    expect(b.said).toHaveLength(1);
    expect(b.said[0]).toMatchObject({ ask: "try", base: 7, edits: at(3) });
    b.picture();
    expect(b.said).toHaveLength(1);
  });
  it("asks for the same place once, and again when it is no longer on show", () => {
    const b = bench();
    const tried = (x: number) => {
      b.hand.try(at(x));
      b.picture();
      return b.said.filter((s) => s.ask === "try").length;
    };
    expect([tried(1), tried(1), tried(2), tried(1), tried(1)]).toEqual([1, 1, 2, 3, 3]);
    // Its own answer leaves it on show; another's change of the files does not, nor a refusal.
    b.hand.heard({ ...study(7, b.hand.lastTry), trying: true } as Tell);
    expect(tried(1)).toBe(3);
    b.hand.heard(study(8));
    expect(tried(1)).toBe(4);
    b.hand.heard({ tell: "refused", answers: b.hand.lastTry, why: "no" });
    expect(tried(1)).toBe(5);
    b.hand.letGo();
    expect(tried(1)).toBe(6);
    b.hand.lost();
    expect(tried(1)).toBe(7);
    b.state.open = false;
    expect([tried(3), tried(3)]).toEqual([7, 7]);
    b.state.open = true;
    expect(tried(3)).toBe(8);
  });
  it("drops a try that its edit has overtaken", () => {
    const b = bench();
    b.hand.try(at(1));
    b.hand.edit("Move heart", at(2), untouched);
    b.picture();
    expect(b.said.map((s) => s.ask)).toEqual(["edit"]);
  });
  it("sends a drop on what was seen when the thing was taken", () => {
    const b = bench();
    b.hand.try(at(1));
    b.state.rev = 8;
    b.hand.try(at(2));
    b.hand.edit("Move heart", at(2), untouched);
    expect(b.said.at(-1)).toMatchObject({ ask: "edit", base: 7 });
  });
  it("does not speak of old counts on a new line", () => {
    const b = bench();
    b.hand.try(at(1));
    b.state.open = false;
    b.hand.edit("Move heart", at(2), untouched);
    b.hand.lost();
    b.state.rev = 1;
    b.state.open = true;
    b.hand.found();
    expect(b.said.at(-1)).toMatchObject({ ask: "edit", base: 1 });
  });
  it("lets go only of what it tried", () => {
    const b = bench();
    b.hand.letGo();
    expect(b.said).toEqual([]);
    b.hand.try(at(1));
    b.hand.letGo();
    b.picture();
    expect(b.said.map((s) => s.ask)).toEqual(["let_go"]);
  });
  it("sends edits one after another, each on the study before it", () => {
    const b = bench();
    const first = b.hand.edit("one", at(1), untouched);
    const second = b.hand.edit("two", at(2), untouched);
    expect(b.said).toHaveLength(1);
    b.state.rev = 8;
    b.hand.heard(study(8, first));
    expect(b.said[1]).toMatchObject({ ask: "edit", id: second, base: 8, words: "two" });
    expect(b.settled).toEqual([["one", { kind: "taken" }]]);
  });
  it("is settled by its own answer alone", () => {
    const b = bench();
    const id = b.hand.edit("one", at(1), untouched);
    b.hand.heard(study(8));
    b.hand.heard(study(8, id + 1));
    expect(b.hand.waiting).toHaveLength(1);
    // Another page may be trying something at that moment.
    b.hand.heard({ ...study(8, id), trying: true } as Tell);
    expect(b.hand.waiting).toHaveLength(0);
  });
  it("tells a refusal and a conflict with their reasons", () => {
    const b = bench();
    const one = b.hand.edit("one", at(1), untouched);
    b.hand.heard({ tell: "refused", answers: one, why: "no such part" });
    const two = b.hand.edit("two", at(1), untouched);
    b.hand.heard({ tell: "conflict", answers: two, why: "changed", rev: 9 });
    expect(b.settled.map(([, o]) => o)).toEqual([{ kind: "refused", why: "no such part" }, { kind: "conflict", why: "changed" }]);
    expect(b.said.map((s) => s.ask)).toEqual(["edit", "let_go", "edit", "let_go"]);
  });
  it("keeps an edit over a gone line and says it again on the new study", () => {
    const b = bench();
    b.hand.edit("one", at(1), untouched);
    b.state.open = false;
    b.hand.lost();
    b.hand.edit("two", at(2), untouched);
    expect(b.hand.waiting).toHaveLength(2);
    b.state.open = true;
    b.state.rev = 3;
    b.hand.found();
    expect(b.said).toHaveLength(2);
    expect(b.said[1]).toMatchObject({ ask: "edit", words: "one", base: 3 });
  });
  it("does not say an edit twice that was taken, nor over another's", () => {
    const b = bench();
    b.hand.edit("taken", at(1), () => "taken");
    b.hand.edit("changed", at(1), () => "changed");
    b.hand.edit("mine", at(1), untouched);
    b.state.open = false;
    b.hand.lost();
    b.state.open = true;
    b.hand.found();
    expect(b.settled.map(([w, o]) => `${w} ${o.kind}`)).toEqual(["taken taken", "changed conflict"]);
    expect(b.said.at(-1)).toMatchObject({ words: "mine" });
  });
});

class Fake implements Wire {
  sent: string[] = [];
  onopen: (() => void) | null = null;
  onmessage: ((event: { data: unknown }) => void) | null = null;
  onclose: (() => void) | null = null;
  send(text: string): void {
    this.sent.push(text);
  }
  close(): void {
    this.onclose?.();
  }
}

describe("the line", () => {
  function lineOf() {
    const wires: Fake[] = [];
    const states: string[] = [];
    const heard: Tell[] = [];
    const waits: { run: () => void; ms: number }[] = [];
    const line = new Line({
      dial: () => {
        const wire = new Fake();
        wires.push(wire);
        return wire;
      },
      hear: (t) => heard.push(t),
      state: (s) => states.push(s),
      later: (run, ms) => waits.push({ run, ms }),
      never: (i) => waits.splice(i - 1, 1),
    });
    return { line, wires, states, heard, waits };
  }
  it("joins again by itself, waiting longer each time, and quickly after a good line", () => {
    const l = lineOf();
    l.line.join();
    for (let i = 0; i < 6; i++) {
      l.wires.at(-1)!.onclose!();
      l.waits.at(-1)!.run();
    }
    expect(l.waits.map((w) => w.ms)).toEqual([250, 500, 1000, 2000, 4000, 4000]);
    l.wires.at(-1)!.onopen!();
    l.wires.at(-1)!.onclose!();
    expect(l.waits.at(-1)!.ms).toBe(250);
    expect(l.states.slice(-2)).toEqual(["open", "away"]);
  });
  it("says nothing on a line that is not open, and says so", () => {
    const l = lineOf();
    l.line.join();
    expect(l.line.say({ ask: "undo", id: 1 })).toBe(false);
    l.wires[0]!.onopen!();
    expect(l.line.say({ ask: "undo", id: 1 })).toBe(true);
    expect(l.wires[0]!.sent).toEqual(['{"ask":"undo","id":1}']);
  });
  it("passes over what it cannot read", () => {
    const l = lineOf();
    l.line.join();
    for (const data of ["not json", "7", "null", new ArrayBuffer(2), '{"other":1}']) l.wires[0]!.onmessage!({ data });
    expect(l.heard).toEqual([]);
    l.wires[0]!.onmessage!({ data: '{"tell":"refused","answers":1,"why":"x"}' });
    expect(l.heard).toHaveLength(1);
  });
  it("has one line at a time", () => {
    const l = lineOf();
    l.line.join();
    l.line.join();
    expect(l.wires).toHaveLength(1);
  });
});
