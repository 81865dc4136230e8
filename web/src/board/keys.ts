// What the keyboard does while the board has the focus.

import type { Pt } from "../talk.ts";
import { change, pickUp } from "../state/carry.ts";
import { mayEdit, say } from "../state/desk.ts";
import { called, subjectOf, thingOf } from "../state/things.ts";
import { choose, chosen, chosenWire, frame, setFrame, setOpenFinding, setPage, setTool, tool, toggle, turnOver, unit } from "../state/view.ts";
import { bench, begin, look, putAway } from "../editing/bench.ts";
import { chosenPass, setChosenPass } from "../editing/openings.ts";
import { panned, zoomed } from "./frame.ts";
import { between } from "./between.ts";
import { clearMeasure, features, measureClick, measured, setMeasured } from "./measure.ts";
import { ahead, boxOf, distance, middle } from "./geometry.ts";
import { createNudge } from "./nudge.ts";
import { turnedAbout } from "./place.ts";
import { length } from "../words/numbers.ts";
import { listed } from "../words/say.ts";
import { following, next, setWalked, setWalkedTag, walker } from "./walk.ts";

const ARROWS: Record<string, Pt> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const PAN = 80;

type Options = {
  fit: () => void;
  cancel: () => boolean;
  /** Gives the focus to a thing of the board. */
  focus: (key: string) => void;
  /** The tags on the board, by number. */
  tags: () => SVGGElement[];
  help: () => void;
};

export function createKeys(options: Options) {
  const { nudge, rest, giveUp } = createNudge();

  function go(to: string | null): void {
    if (to === null) return;
    setWalked(to);
    options.focus(to);
  }

  function onTag(e: KeyboardEvent, key: string): boolean {
    const by = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[e.key];
    if (by !== undefined) {
      const all = options.tags();
      const i = all.findIndex((t) => t.dataset["finding"] === key);
      const to = all[(i + by + all.length) % all.length];
      if (to) {
        setWalkedTag(to.dataset["finding"] ?? null);
        to.focus();
      }
    } else if (e.key === "Enter" || e.key === " ") {
      setPage("findings");
      setOpenFinding(key);
      queueMicrotask(() => document.querySelector<HTMLElement>(`[data-item="${CSS.escape(key)}"] .finding-head`)?.focus());
    } else if (e.key === "Escape") go(walker());
    else return false;
    e.preventDefault();
    return true;
  }

  /** In the measure: arrows go from feature to feature. */
  function point(dx: number, dy: number, mirror: number): void {
    const at = walker();
    const thing = at === null ? undefined : thingOf(at);
    const from = measured().near?.at ?? (thing ? middle(boxOf(thing.outline)) : [0, 0]);
    const to = ahead(features(), from, dx, dy, mirror);
    if (!to) return;
    setMeasured((m) => ({ ...m, near: to }));
    say(to.words);
  }

  function measureHere(): void {
    const at = walker();
    const feature = measured().near ?? features().find((f) => f.id === `${at} middle`) ?? features()[0];
    if (!feature) return;
    measureClick(feature);
    setMeasured((m) => ({ ...m, near: feature }));
    const { from, to } = measured();
    if (!from || !to) return say(`From ${feature.words}. Arrows go to the second feature, Enter takes it.`);
    const b = between(from, to);
    say(`${length(distance(b.from, b.to), unit())} from ${from.words} to ${to.words}`);
  }

  function take(at: string, more: boolean): void {
    if (at.startsWith("pass:")) {
      choose([]);
      setChosenPass(chosenPass() === called(at) ? null : called(at));
      if (bench()) look({ kind: "pass", name: called(at) });
      say(chosenPass() === null ? "Nothing in hand" : `In hand: ${called(at)}. Arrows move it, E shows its size in numbers, Escape puts it down.`);
      return;
    }
    setChosenPass(null);
    if (more) toggle(at);
    else choose(chosen().length === 1 && chosen()[0] === at ? [] : [at]);
    say(chosen().length > 0 ? `${mayEdit() ? "In hand" : "Chosen"}: ${chosen().map(called).join(", ")}. ${mayEdit() ? "Arrows move it, " : ""}Escape puts it down.` : "Nothing in hand");
  }

  function arrow(e: KeyboardEvent, [x, y]: Pt): void {
    const mirror = frame().m < 0 ? -1 : 1;
    if (e.ctrlKey || e.metaKey) {
      setFrame((f) => panned(f, -x * PAN, y * PAN));
    } else if (tool() === "measure") {
      point(x, y, mirror);
    } else if (chosen().length > 0 || chosenPass() !== null) {
      const step = e.altKey ? 0.1 : e.shiftKey ? 10 : 1;
      nudge(x * step * mirror, y * step);
    } else {
      const at = walker();
      if (at !== null) go(next(at, x, y, mirror));
    }
  }

  function escape(): void {
    if (giveUp() || options.cancel()) return;
    if (tool() === "place" || tool() === "wire" || tool() === "pass") return putAway();
    setChosenPass(null);
    if (tool() === "measure") {
      clearMeasure();
      setTool("hand");
    } else choose([]);
  }

  function turn(by: number): void {
    rest();
    const changes = chosen().map((n) => turnedAbout(n, by)).filter((c) => c !== null);
    if (changes.length === 0) return;
    const names = changes.map((c) => c.name);
    pickUp(names);
    change(`Turn ${listed(names.map(called))} by ${by}°`, changes);
  }

  function about(): void {
    if (chosenWire() !== null) look({ kind: "wire", name: chosenWire()! });
    else if (chosenPass() !== null) look({ kind: "pass", name: chosenPass()! });
    else if (chosen().length === 1) look(subjectOf(chosen()[0]!));
  }

  function down(e: KeyboardEvent): void {
    if (e.defaultPrevented) return;
    const tag = e.target instanceof Element ? e.target.closest("[data-finding]")?.getAttribute("data-finding") : null;
    if (tag && !e.ctrlKey && !e.metaKey && onTag(e, tag)) return;
    const way = ARROWS[e.key];
    if (way) {
      e.preventDefault();
      return arrow(e, way);
    }
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const does: Record<string, () => void> = {
      enter: () => {
        const at = walker();
        if (tool() === "measure") measureHere();
        else if (at !== null) take(at, e.shiftKey);
      },
      escape,
      n: () => {
        const chosenOne = chosen().length > 0;
        rest();
        go(following(walker(), e.shiftKey ? -1 : 1));
        const at = walker();
        if (chosenOne && at !== null && thingOf(at)) choose([at]);
      },
      t: () => turnOver(),
      f: options.fit,
      0: options.fit,
      a: () => begin("part"),
      w: () => begin("wire"),
      o: () => begin("pass"),
      e: about,
      m: () => {
        clearMeasure();
        setTool(tool() === "measure" ? "hand" : "measure");
      },
      r: () => turn(e.shiftKey ? -90 : 90),
      "+": () => zoom(1.25),
      "=": () => zoom(1.25),
      "-": () => zoom(0.8),
      "?": options.help,
    };
    const key = e.key === " " ? "enter" : e.key.toLowerCase();
    const what = Object.hasOwn(does, key) ? does[key] : undefined;
    if (!what) return;
    e.preventDefault();
    what();
  }

  function zoom(factor: number): void {
    setFrame((f) => zoomed(f, factor, [f.mx, f.my]));
  }

  return { down, rest, zoom };
}
