// What a mouse, pen or finger does on the board.

import { batch, createSignal } from "solid-js";
import type { Pt } from "../talk.ts";
import { mayEdit, say } from "../state/desk.ts";
import { thingsOn } from "../state/things.ts";
import {
  choose, chooseWire, chosen, face, frame, setFrame, setOpenFinding, setPage, toggle, tool, turning,
} from "../state/view.ts";
import { look, bench } from "../editing/bench.ts";
import {
  addOpening, chosenPass, drawn, dropOpening, inHand, keepOpening, openingOf, passNamed, pulled, setChosenPass, setInHand, tryOpening,
} from "../editing/openings.ts";
import type { Handle, Opening } from "../editing/openings.ts";
import { placeAt, placing, resting, setGhost } from "../editing/placing.ts";
import { clickTerminal } from "../editing/wiring.ts";
import { listed } from "../words/say.ts";
import { carryOf, carryTo, drop, putBack, takeUp, wantsChoosing } from "./carrying.ts";
import type { Carry } from "./carrying.ts";
import { panned, toBoard, toScreen, zoomed } from "./frame.ts";
import type { Box } from "./geometry.ts";
import { boxOf, overlaps } from "./geometry.ts";
import { featureAt, measureClick, setMeasured } from "./measure.ts";
import { setWalked } from "./walk.ts";

export const [band, setBand] = createSignal<Box | null>(null);

type Press = {
  kind: "press"; at: Pt; part: string | null; wire: string | null; pass: string | null; handle: Handle | null;
  tag: boolean; shift: boolean; touch: boolean;
  /** The finger has rested on it: it is chosen already. */
  long: boolean;
};
type Doing =
  | { kind: "none" }
  | Press
  | { kind: "pan"; last: Pt }
  | { kind: "band"; from: Pt; add: boolean }
  | { kind: "carry"; carry: Carry }
  | { kind: "draw"; from: Pt }
  | { kind: "pull"; name: string; was: Opening; handle: Handle; from: Pt }
  | { kind: "pinch"; last: { middle: Pt; apart: number } };

/** How long a finger rests on a thing to choose it besides the others, milliseconds. */
const LONG_MS = 500;

export function createPointer(svg: () => SVGSVGElement) {
  let doing: Doing = { kind: "none" };
  let restTimer = 0;
  const fingers = new Map<number, Pt>();

  // Asking where the drawing lies has the browser lay the whole page out anew; while a finger is down it does not move.
  let lies = { left: 0, top: 0 };
  const place = (e: PointerEvent | WheelEvent): Pt => {
    if (fingers.size === 0) lies = svg().getBoundingClientRect();
    const r = lies;
    return [e.clientX - r.left, e.clientY - r.top];
  };
  const pair = () => {
    const [a, b] = [...fingers.values()] as [Pt, Pt];
    return { middle: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2] as Pt, apart: Math.max(1, Math.hypot(a[0] - b[0], a[1] - b[1])) };
  };

  function cancel(): void {
    clearTimeout(restTimer);
    if (doing.kind === "carry") {
      putBack();
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
      shift: e.shiftKey, touch: e.pointerType !== "mouse", long: false,
    };
    const press = doing;
    if (press.touch && press.part !== null && tool() === "hand") restTimer = setTimeout(() => rested(press), LONG_MS) as unknown as number;
    const finding = target?.closest("[data-finding]")?.getAttribute("data-finding");
    if (finding) batch(() => {
      setPage("findings");
      setOpenFinding(finding);
    });
  }

  /** A finger that rests on a thing chooses it besides what is chosen, or lets it go. */
  function rested(press: Press): void {
    if (doing !== press || press.part === null) return;
    doing = { ...press, long: true };
    setChosenPass(null);
    setWalked(press.part);
    toggle(press.part);
    navigator.vibrate?.(12);
    say(chosen().length > 0 ? `In hand: ${listed([...chosen()])}` : "Nothing in hand");
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
        clearTimeout(restTimer);
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
        carryTo(doing.carry, toBoard(frame(), at), e.ctrlKey || e.metaKey || e.altKey);
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

  function begin(press: Press, at: Pt, before: Pt, e: PointerEvent): void {
    const from = toBoard(frame(), press.at);
    if (tool() === "pass") {
      doing = { kind: "draw", from };
      return;
    }
    const pulls = press.handle !== null ? chosenPass() : press.pass === chosenPass() ? press.pass : null;
    const pass = passNamed(pulls);
    if (pass && tool() === "hand" && mayEdit()) {
      doing = { kind: "pull", name: pass.name, was: openingOf(pass), handle: press.handle ?? "move", from };
      return;
    }
    const stays = press.part !== null && wantsChoosing(press.part) && !chosen().includes(press.part);
    if (press.part !== null && tool() === "hand" && !stays) {
      const names = chosen().includes(press.part) ? chosen() : [press.part];
      const carry = carryOf(names, toBoard(frame(), press.at));
      if (carry) {
        if (!chosen().includes(press.part)) choose([press.part]);
        setWalked(press.part);
        takeUp(carry);
        doing = { kind: "carry", carry };
        carryTo(carry, toBoard(frame(), at), e.ctrlKey || e.metaKey || e.altKey);
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

  function up(e: PointerEvent): void {
    const was = fingers.delete(e.pointerId);
    if (!was) return;
    const at = place(e);
    clearTimeout(restTimer);
    switch (doing.kind) {
      case "press":
        if (!doing.long) click(doing, at);
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
        const hit = thingsOn(face()).filter((p) => {
          if (wantsChoosing(p.name)) return false;
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

  function click(press: Press, at: Pt): void {
    if (tool() === "measure") {
      measureClick(featureAt(toBoard(frame(), at), (press.touch ? 26 : 14) / frame().k));
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
