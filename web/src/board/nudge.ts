// Moving what is in hand by arrow keys: presses that follow one another are one step.

import { batch } from "solid-js";
import type { Pt } from "../talk.ts";
import { change, letGo, pickUp, tryOut } from "../state/carry.ts";
import type { Change } from "../state/carry.ts";
import { mayEdit } from "../state/desk.ts";
import { setDragging } from "../state/held.ts";
import { thingOf } from "../state/things.ts";
import { chosen } from "../state/view.ts";
import { chosenPass, dropOpening, keepOpening, openingOf, passNamed, tryOpening } from "../editing/openings.ts";
import type { Opening } from "../editing/openings.ts";
import { moveWords } from "./carrying.ts";
import { atOf } from "./place.ts";
import { tidy } from "./snap.ts";

const REST_MS = 600;

type Nudged =
  | { kind: "things"; starts: Map<string, Pt>; by: Pt; last: Change[]; timer: number }
  | { kind: "opening"; name: string; was: Opening; now: Opening; timer: number };

export function createNudge() {
  let nudged: Nudged | null = null;
  const soon = () => setTimeout(rest, REST_MS) as unknown as number;

  function nudge(dx: number, dy: number): void {
    if (!mayEdit()) return;
    if (chosen().length > 0) things(dx, dy);
    else opening(dx, dy);
  }

  function things(dx: number, dy: number): void {
    const names = chosen().filter((n) => thingOf(n)?.movable);
    if (names.length === 0) return;
    if (nudged?.kind !== "things") {
      rest();
      pickUp(names);
      nudged = { kind: "things", starts: new Map(names.map((n) => [n, atOf(thingOf(n)!)])), by: [0, 0], last: [], timer: 0 };
      setDragging(true);
    } else clearTimeout(nudged.timer);
    const by: Pt = [nudged.by[0] + dx, nudged.by[1] + dy];
    const last = [...nudged.starts].map(([name, at]) => ({ name, at: [tidy(at[0] + by[0]), tidy(at[1] + by[1])] as Pt }));
    nudged = { ...nudged, by, last, timer: soon() };
    tryOut(last);
  }

  function opening(dx: number, dy: number): void {
    if (nudged?.kind !== "opening") {
      rest();
      const pass = passNamed(chosenPass());
      if (!pass) return;
      nudged = { kind: "opening", name: pass.name, was: openingOf(pass), now: openingOf(pass), timer: 0 };
    } else clearTimeout(nudged.timer);
    const { at } = nudged.now;
    nudged = { ...nudged, now: { ...nudged.now, at: [tidy(at[0] + dx), tidy(at[1] + dy)] }, timer: soon() };
    tryOpening(nudged.name, nudged.was, nudged.now);
  }

  /** What was nudged becomes a step. */
  function rest(): void {
    const now = nudged;
    if (!now) return;
    nudged = null;
    clearTimeout(now.timer);
    if (now.kind === "opening") return keepOpening(now.name, now.was, now.now);
    batch(() => {
      setDragging(false);
      if (Math.abs(now.by[0]) < 0.005 && Math.abs(now.by[1]) < 0.005) letGo();
      else change(moveWords([...now.starts.keys()], now.by[0], now.by[1]), now.last);
    });
  }

  /** What was nudged goes back. Says whether anything was. */
  function giveUp(): boolean {
    const now = nudged;
    if (!now) return false;
    clearTimeout(now.timer);
    nudged = null;
    batch(() => {
      setDragging(false);
      if (now.kind === "opening") dropOpening();
      else letGo();
    });
    return true;
  }

  return { nudge, rest, giveUp };
}
