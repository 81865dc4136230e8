// What a mouse, pen or finger does on the board.

import { batch, createSignal } from "solid-js";
import type { Pt } from "../talk.ts";
import { change, letGo, partNamed, pickUp, say, setDragging, study, tryOut } from "../state/desk.ts";
import type { Change } from "../state/desk.ts";
import {
  choose, chooseWire, chosen, face, frame, gridMm, setFrame, setOpenFinding, setPage, toggle, tool, turning, unit,
} from "../state/view.ts";
import { look, bench } from "../editing/bench.ts";
import {
  addOpening, chosenPass, drawn, dropOpening, inHand, keepOpening, openingOf, passNamed, pulled, setChosenPass, setInHand, tryOpening,
} from "../editing/openings.ts";
import type { Handle, Opening } from "../editing/openings.ts";
import { placeAt, placing, resting, setGhost } from "../editing/placing.ts";
import { clickTerminal } from "../editing/wiring.ts";
import { length } from "../words/numbers.ts";
import { listed } from "../words/say.ts";
import { panned, toBoard, toScreen, zoomed } from "./frame.ts";
import type { Box } from "./geometry.ts";
import { boxOf, join, middle, overlaps } from "./geometry.ts";
import { featureAt, measureClick, setMeasured } from "./measure.ts";
import { restsOf, snapped, tidy } from "./snap.ts";
import type { Rest, Rests } from "./snap.ts";
import { setWalked } from "./walk.ts";

export type Guides = { x: Rest | null; y: Rest | null };
export const [guides, setGuides] = createSignal<Guides>({ x: null, y: null });
export const [band, setBand] = createSignal<Box | null>(null);

type Carry = { names: string[]; box: Box; anchor: Pt; starts: Map<string, Pt>; rests: Rests; from: Pt; last: Change[] };
type Doing =
  | { kind: "none" }
  | { kind: "press"; at: Pt; part: string | null; wire: string | null; pass: string | null; handle: Handle | null; tag: boolean; shift: boolean; touch: boolean }
  | { kind: "pan"; last: Pt }
  | { kind: "band"; from: Pt; add: boolean }
  | { kind: "carry"; carry: Carry }
  | { kind: "draw"; from: Pt }
  | { kind: "pull"; name: string; was: Opening; handle: Handle; from: Pt }
  | { kind: "pinch"; last: { middle: Pt; apart: number } };

/** The parts' box, place and the lines they may come to rest on. */
export function carryOf(names: readonly string[], from: Pt): Carry | null {
  const parts = names.map(partNamed).filter((p) => p !== undefined).filter((p) => p.movable);
  if (parts.length === 0) return null;
  const moving = new Set(parts.map((p) => p.name));
  const others = [
    ...study.parts.filter((p) => p.face === face() && !moving.has(p.name)),
    ...study.plugs.filter((p) => p.face === face()),
  ].map((p) => ({ name: p.name, box: boxOf(p.outline) }));
  if (study.sheet) others.push({ name: "the board", box: boxOf(study.sheet.outline) });
  const holes = [
    ...(study.sheet?.mounts ?? []).map((m) => ({ name: m.name, at: [m.at_mm[0], m.at_mm[1]] as Pt })),
    ...(study.sheet?.passes ?? []).map((m) => ({ name: m.name, at: [m.at_mm[0], m.at_mm[1]] as Pt })),
  ];
  const first = parts[0]!;
  return {
    names: parts.map((p) => p.name),
    box: parts.map((p) => boxOf(p.outline)).reduce(join),
    anchor: [first.at_mm[0], first.at_mm[1]],
    starts: new Map(parts.map((p) => [p.name, [p.at_mm[0], p.at_mm[1]] as Pt])),
    rests: restsOf(others, holes),
    from,
    last: [],
  };
}

/** "Move heart 3 mm right and 2 mm up", as seen looking at the front; on the back left and right change. */
export function moveWords(names: readonly string[], dx: number, dy: number): string {
  const across = face() === "front" ? dx : -dx;
  const ways = [
    Math.abs(across) >= 0.005 ? `${length(Math.abs(across), unit())} ${across > 0 ? "right" : "left"}` : "",
    Math.abs(dy) >= 0.005 ? `${length(Math.abs(dy), unit())} ${dy > 0 ? "up" : "down"}` : "",
  ].filter((w) => w !== "");
  return `Move ${listed(names)} ${ways.join(" and ")}`.trim();
}

export function createPointer(svg: () => SVGSVGElement) {
  let doing: Doing = { kind: "none" };
  const fingers = new Map<number, Pt>();

  const place = (e: PointerEvent | WheelEvent): Pt => {
    const r = svg().getBoundingClientRect();
    return [e.clientX - r.left, e.clientY - r.top];
  };
  const pair = () => {
    const [a, b] = [...fingers.values()] as [Pt, Pt];
    return { middle: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2] as Pt, apart: Math.max(1, Math.hypot(a[0] - b[0], a[1] - b[1])) };
  };

  function cancel(): void {
    if (doing.kind === "carry") {
      batch(() => {
        setDragging(false);
        letGo();
        setGuides({ x: null, y: null });
      });
      say("Put back where it was");
    }
    if (doing.kind === "pull") dropOpening();
    if (doing.kind === "draw") setInHand(null);
    setBand(null);
    doing = { kind: "none" };
  }

  function down(e: PointerEvent): void {
    if (turning() || (e.pointerType === "mouse" && e.button > 1)) return;
    const at = place(e);
    fingers.set(e.pointerId, at);
    try {
      svg().setPointerCapture(e.pointerId);
    } catch {
      // The finger is up already.
    }
    if (fingers.size === 2) {
      cancel();
      doing = { kind: "pinch", last: pair() };
      return;
    }
    if (fingers.size > 2) return;
    if (e.button === 1) {
      doing = { kind: "pan", last: at };
      return;
    }
    const target = e.target instanceof Element ? e.target : null;
    doing = {
      kind: "press", at,
      part: target?.closest("[data-part]")?.getAttribute("data-part") ?? null,
      wire: target?.closest("[data-wire]")?.getAttribute("data-wire") ?? null,
      pass: target?.closest("[data-pass]")?.getAttribute("data-pass") ?? null,
      handle: (target?.closest("[data-handle]")?.getAttribute("data-handle") ?? null) as Handle | null,
      tag: target?.closest("[data-finding]") != null,
      shift: e.shiftKey, touch: e.pointerType !== "mouse",
    };
    const finding = target?.closest("[data-finding]")?.getAttribute("data-finding");
    if (finding) batch(() => {
      setPage("findings");
      setOpenFinding(finding);
    });
  }

  function move(e: PointerEvent): void {
    const at = place(e);
    if (tool() === "measure" && doing.kind !== "pan" && doing.kind !== "pinch") {
      const near = featureAt(toBoard(frame(), at), 14 / frame().k);
      setMeasured((m) => ({ ...m, near }));
    }
    if (tool() === "place" && e.pointerType === "mouse") {
      const p = placing();
      if (p) setGhost(resting(toBoard(frame(), at), p.type, face()));
    }
    if (!fingers.has(e.pointerId)) return;
    const before = fingers.get(e.pointerId)!;
    fingers.set(e.pointerId, at);
    switch (doing.kind) {
      case "press": {
        if (Math.hypot(at[0] - doing.at[0], at[1] - doing.at[1]) < (doing.touch ? 9 : 4)) return;
        begin(doing, at, before, e);
        return;
      }
      case "pan":
        setFrame((f) => panned(f, at[0] - before[0], at[1] - before[1]));
        return;
      case "band":
        setBand(boxOf([doing.from, at]));
        return;
      case "carry":
        carryTo(doing.carry, at, e.ctrlKey || e.metaKey || e.altKey);
        return;
      case "draw":
        setInHand(drawn(doing.from, toBoard(frame(), at)));
        return;
      case "pull": {
        const now = toBoard(frame(), at);
        tryOpening(doing.name, doing.was, pulled(doing.was, doing.handle, [now[0] - doing.from[0], now[1] - doing.from[1]]));
        return;
      }
      case "pinch": {
        if (fingers.size < 2) return;
        const now = pair();
        const last = doing.last;
        setFrame((f) => zoomed(panned(f, now.middle[0] - last.middle[0], now.middle[1] - last.middle[1]), now.apart / last.apart, now.middle));
        doing = { kind: "pinch", last: now };
        return;
      }
      case "none":
        return;
    }
  }

  function begin(press: Extract<Doing, { kind: "press" }>, at: Pt, before: Pt, e: PointerEvent): void {
    const from = toBoard(frame(), press.at);
    if (tool() === "pass") {
      doing = { kind: "draw", from };
      return;
    }
    const pulls = press.handle !== null ? chosenPass() : press.pass === chosenPass() ? press.pass : null;
    const pass = passNamed(pulls);
    if (pass && tool() === "hand") {
      doing = { kind: "pull", name: pass.name, was: openingOf(pass), handle: press.handle ?? "move", from };
      return;
    }
    if (press.part !== null && tool() === "hand") {
      const names = chosen().includes(press.part) ? chosen() : [press.part];
      const carry = carryOf(names, toBoard(frame(), press.at));
      if (carry) {
        if (!chosen().includes(press.part)) choose([press.part]);
        setWalked(press.part);
        pickUp(carry.names);
        setDragging(true);
        doing = { kind: "carry", carry };
        carryTo(carry, at, e.ctrlKey || e.metaKey || e.altKey);
        return;
      }
    }
    if (press.shift && tool() === "hand") {
      doing = { kind: "band", from: press.at, add: true };
      return;
    }
    doing = { kind: "pan", last: at };
    setFrame((f) => panned(f, at[0] - before[0], at[1] - before[1]));
  }

  function carryTo(carry: Carry, at: Pt, free: boolean): void {
    const now = toBoard(frame(), at);
    const shift: Pt = [now[0] - carry.from[0], now[1] - carry.from[1]];
    const none: Rests = { x: [], y: [] };
    const s = snapped(shift, carry.box, carry.anchor, free ? none : carry.rests, 7 / frame().k, free ? 0 : gridMm());
    carry.last = carry.names.map((name) => {
      const start = carry.starts.get(name)!;
      return { name, at: [tidy(start[0] + s.dx), tidy(start[1] + s.dy)] };
    });
    batch(() => {
      setGuides({ x: s.x, y: s.y });
      tryOut(carry.last);
    });
  }

  function up(e: PointerEvent): void {
    const was = fingers.delete(e.pointerId);
    if (!was) return;
    const at = place(e);
    switch (doing.kind) {
      case "press":
        click(doing, at);
        doing = { kind: "none" };
        return;
      case "carry": {
        const { carry } = doing;
        doing = { kind: "none" };
        drop(carry);
        return;
      }
      case "draw": {
        const opening = inHand();
        doing = { kind: "none" };
        if (opening) addOpening(opening);
        return;
      }
      case "pull": {
        const { name, was } = doing;
        doing = { kind: "none" };
        keepOpening(name, was, inHand() ?? was);
        return;
      }
      case "band": {
        const box = boxOf([doing.from, at]);
        doing = { kind: "none" };
        setBand(null);
        const hit = study.parts.filter((p) => {
          if (p.face !== face()) return false;
          const b = boxOf(p.outline);
          return overlaps(boxOf([toScreen(frame(), [b.x0, b.y0]), toScreen(frame(), [b.x1, b.y1])]), box);
        });
        choose([...new Set([...chosen(), ...hit.map((p) => p.name)])]);
        return;
      }
      case "pinch":
        doing = fingers.size === 1 ? { kind: "pan", last: [...fingers.values()][0]! } : { kind: "none" };
        return;
      default:
        doing = { kind: "none" };
    }
  }

  function drop(carry: Carry): void {
    const first = carry.last[0];
    const start = first ? carry.starts.get(first.name) : undefined;
    batch(() => {
      setDragging(false);
      setGuides({ x: null, y: null });
      if (!first?.at || !start) return letGo();
      const [dx, dy] = [first.at[0] - start[0], first.at[1] - start[1]];
      if (Math.abs(dx) < 0.005 && Math.abs(dy) < 0.005) return letGo();
      change(moveWords(carry.names, dx, dy), carry.last);
    });
  }

  function click(press: Extract<Doing, { kind: "press" }>, at: Pt): void {
    if (tool() === "measure") {
      measureClick(featureAt(toBoard(frame(), at), 14 / frame().k));
      return;
    }
    if (tool() === "place") return placeAt(toBoard(frame(), at));
    if (tool() === "wire") return clickTerminal(toBoard(frame(), at), (press.touch ? 26 : 14) / frame().k);
    if (press.tag || press.handle !== null) return;
    setChosenPass(null);
    if (press.part !== null) {
      setWalked(press.part);
      if (press.shift) toggle(press.part);
      else choose([press.part]);
    } else if (press.wire !== null) chooseWire(press.wire);
    else if (press.pass !== null && tool() === "hand") {
      chooseWire(null);
      setChosenPass(press.pass);
      if (bench()) look({ kind: "pass", name: press.pass });
    } else if (!press.shift) chooseWire(null);
  }

  function wheel(e: WheelEvent): void {
    e.preventDefault();
    if (doing.kind === "carry" || turning()) return;
    const unitPx = e.deltaMode === 1 ? 18 : e.deltaMode === 2 ? 300 : 1;
    const factor = Math.exp(-Math.max(-240, Math.min(240, e.deltaY * unitPx)) * (e.ctrlKey ? 0.008 : 0.0016));
    setFrame((f) => zoomed(f, factor, place(e)));
  }

  function lost(e: PointerEvent): void {
    fingers.delete(e.pointerId);
    cancel();
  }

  return { down, move, up, wheel, lost, cancel, carrying: () => doing.kind === "carry" };
}

export function middleOf(names: readonly string[]): Pt | null {
  const boxes = names.map(partNamed).filter((p) => p !== undefined).map((p) => boxOf(p.outline));
  return boxes.length === 0 ? null : middle(boxes.reduce(join));
}
