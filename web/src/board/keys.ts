// What the keyboard does while the board has the focus.

import { batch } from "solid-js";
import type { Pt } from "../talk.ts";
import { change, letGo, partNamed, pickUp, say, setDragging, tryOut } from "../state/desk.ts";
import type { Change } from "../state/desk.ts";
import { choose, chosen, chosenWire, frame, setFrame, setTool, tool, toggle, turnOver } from "../state/view.ts";
import { begin, look, putAway, subjectOf } from "../editing/bench.ts";
import { setChosenPass } from "../editing/openings.ts";
import { zoomed } from "./frame.ts";
import { clearMeasure, measureClick, setMeasured } from "./measure.ts";
import { boxOf, middle } from "./geometry.ts";
import { atOf, turnedAbout } from "./place.ts";
import { moveWords } from "./pointer.ts";
import { tidy } from "./snap.ts";
import { next, setWalked, walker } from "./walk.ts";

const REST_MS = 600;
const ARROWS: Record<string, Pt> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

export function createKeys(options: { fit: () => void; cancel: () => boolean; focus: (name: string) => void; help: () => void }) {
  let nudged: { starts: Map<string, Pt>; by: Pt; last: Change[]; timer: number } | null = null;

  /** Arrow presses that follow one another are one step. */
  function nudge(dx: number, dy: number): void {
    const names = chosen().filter((n) => partNamed(n)?.movable);
    if (names.length === 0) return;
    if (nudged) clearTimeout(nudged.timer);
    else {
      pickUp(names);
      nudged = { starts: new Map(names.map((n) => [n, atOf(partNamed(n)!)])), by: [0, 0], last: [], timer: 0 };
      setDragging(true);
    }
    const by: Pt = [nudged.by[0] + dx, nudged.by[1] + dy];
    const last = [...nudged.starts].map(([name, at]) => ({ name, at: [tidy(at[0] + by[0]), tidy(at[1] + by[1])] as Pt }));
    nudged = { ...nudged, by, last, timer: setTimeout(rest, REST_MS) as unknown as number };
    tryOut(last);
  }

  function rest(): void {
    const now = nudged;
    if (!now) return;
    nudged = null;
    clearTimeout(now.timer);
    batch(() => {
      setDragging(false);
      if (Math.abs(now.by[0]) < 0.005 && Math.abs(now.by[1]) < 0.005) letGo();
      else change(moveWords([...now.starts.keys()], now.by[0], now.by[1]), now.last);
    });
  }

  function giveUp(): boolean {
    if (!nudged) return false;
    clearTimeout(nudged.timer);
    nudged = null;
    batch(() => {
      setDragging(false);
      letGo();
    });
    return true;
  }

  function down(e: KeyboardEvent): void {
    if (e.defaultPrevented) return;
    const mirror = frame().m < 0 ? -1 : 1;
    const at = walker();
    const arrow = ARROWS[e.key];
    if (arrow && !e.ctrlKey && !e.metaKey) {
      e.preventDefault();
      if (chosen().length > 0 && !(tool() === "measure")) {
        const step = e.altKey ? 0.1 : e.shiftKey ? 10 : 1;
        nudge(arrow[0] * step * mirror, arrow[1] * step);
      } else if (at !== null) {
        const to = next(at, arrow[0], arrow[1], mirror);
        if (to !== null) {
          setWalked(to);
          options.focus(to);
        }
      }
      return;
    }
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    switch (e.key) {
      case "Enter":
      case " ": {
        if (at === null) return;
        e.preventDefault();
        const part = partNamed(at);
        if (tool() === "measure" && part) measureClick({ at: middle(boxOf(part.outline)), words: `middle of ${at}` });
        else if (e.shiftKey) toggle(at);
        else choose(chosen().length === 1 && chosen()[0] === at ? [] : [at]);
        say(chosen().length > 0 ? `In hand: ${chosen().join(", ")}. Arrows move it, Escape puts it down.` : "Nothing in hand");
        return;
      }
      case "Escape":
        e.preventDefault();
        if (giveUp() || options.cancel()) return;
        if (tool() === "place" || tool() === "wire" || tool() === "pass") {
          putAway();
          return;
        }
        setChosenPass(null);
        if (tool() === "measure") {
          clearMeasure();
          setMeasured({ from: null, to: null, near: null });
          setTool("hand");
        } else choose([]);
        return;
      case "t": case "T": e.preventDefault(); turnOver(); return;
      case "f": case "F": case "0": e.preventDefault(); options.fit(); return;
      case "a": case "A": e.preventDefault(); begin("part"); return;
      case "w": case "W": e.preventDefault(); begin("wire"); return;
      case "o": case "O": e.preventDefault(); begin("pass"); return;
      case "e": case "E":
        e.preventDefault();
        if (chosenWire() !== null) look({ kind: "wire", name: chosenWire()! });
        else if (chosen().length === 1) look(subjectOf(chosen()[0]!));
        return;
      case "m": case "M": e.preventDefault(); clearMeasure(); setTool(tool() === "measure" ? "hand" : "measure"); return;
      case "+": case "=": zoom(1.25); return;
      case "-": zoom(0.8); return;
      case "?": options.help(); return;
      case "r": case "R": {
        e.preventDefault();
        rest();
        const names = chosen().filter((n) => partNamed(n)?.movable);
        const by = e.shiftKey ? -90 : 90;
        const changes = names.map((n) => turnedAbout(n, by)).filter((c) => c !== null);
        if (changes.length > 0) {
          pickUp(names);
          change(`Turn ${names.join(", ")} by ${by}°`, changes);
        }
        return;
      }
    }
  }

  function zoom(factor: number): void {
    setFrame((f) => zoomed(f, factor, [f.mx, f.my]));
  }

  return { down, rest, zoom };
}
