// What the desk has said: the study, whether it is saved, what can be undone, whether the line is there.

import { batch, createSignal } from "solid-js";
import { createStore, reconcile } from "solid-js/store";
import type {
  Ask, BesideTheBoard, DiagramOn, Edit, FindingOn, LoadsOn, LoomOn, MakeOn, Mistake, PartOn, PhoneOn, PlotOn, PlugOn, Sections, Sheet, SituationOn, Tell,
  Tick, TickList, WireOn,
} from "../talk.ts";
import { openedAnew } from "../talk/anew.ts";
import { Hand } from "../talk/hand.ts";
import type { Found } from "../talk/hand.ts";
import { Line } from "../talk/socket.ts";
import type { LineState, Wire } from "../talk/socket.ts";
import { dragging, setHeld } from "./held.ts";

export type Study = {
  robot: Sections["robot"] | null;
  sheet: Sheet | null;
  parts: PartOn[];
  plugs: PlugOn[];
  wires: WireOn[];
  looms: LoomOn[];
  findings: FindingOn[];
  good_news: string[];
  zones: Sections["zones"];
  off_board: Sections["off_board"];
};

export type Preview = { finding: string; remedy: number } & (
  | { state: "asked" }
  | { state: "known"; told: Extract<Tell, { tell: "previewed" }> }
);

/** Something the builder is told once: an edit that did not go, a line that went. */
export type Notice = { id: number; text: string };

const [study, setStudy] = createStore<Study>({
  robot: null, sheet: null, parts: [], plugs: [], wires: [], looms: [], findings: [], good_news: [],
  zones: [], off_board: [],
});
const [situations, setSituations] = createSignal<readonly SituationOn[]>([]);
// Many numbers that nearly all change with every move: told whole, of the situation that is looked at.
const [loads, setLoads] = createSignal<LoadsOn | null>(null);
// Told with the deep tier, and whole: texts of drawings, and lists to read.
const [diagram, setDiagram] = createSignal<DiagramOn>({ paper: "", slate: "" });
const [plots, setPlots] = createSignal<readonly PlotOn[]>([]);
const [making, setMaking] = createSignal<MakeOn | null>(null);
const [ticks, setTicks] = createSignal<{ ticks: readonly Tick[]; why?: string }>({ ticks: [] });
/** Who this page is to the desk: a guest from the network may look and tick off, and no more unless it is told so. */
const [welcome, setWelcome] = createSignal<{ guest: boolean; mayEdit: boolean; phones: readonly PhoneOn[]; phonesMayEdit: boolean }>({
  guest: false, mayEdit: true, phones: [], phonesMayEdit: false,
});
export { welcome };
/** This page may change the robot. */
export const mayEdit = (): boolean => welcome().mayEdit;
const [line, setLine] = createSignal<LineState>("joining");
const [failed, setFailed] = createSignal(0);
/** The desk answers, but wants its new address. */
const [anew, setAnew] = createSignal(false);
export { anew };
const [known, setKnown] = createSignal(false);
const [rev, setRev] = createSignal(0);
const [kept, setKept] = createSignal<{ undo: string | null; redo: string | null; saved: boolean; why?: string | null }>({
  undo: null, redo: null, saved: true,
});
const [mistakes, setMistakes] = createSignal<Mistake[]>([]);
const [deepIsOld, setDeepIsOld] = createSignal(false);
const [unsaved, setUnsaved] = createSignal(0);
const [notices, setNotices] = createSignal<Notice[]>([]);
const [preview, setPreview] = createSignal<Preview | null>(null);
const [said, setSaid] = createSignal("");
/** The last step was a remedy, and nothing was done since. */
const [remedied, setRemedied] = createSignal(false);

/** What is shown is a try, and not what the files say. */
const [trying, setTrying] = createSignal(false);
/** Why the last try cannot be shown. */
const [tryRefused, setTryRefused] = createSignal<string | null>(null);
export { tryRefused, trying };
export {
  deepIsOld, diagram, failed, kept, known, line, loads, making, mistakes, notices, plots, preview, remedied, rev, said, setPreview, situations, study, ticks,
  unsaved,
};

/** Counts what was told of the study: up with every state that came. */
const [told, setTold] = createSignal(0);
export { told };

let noticeId = 0;
export function notice(text: string): void {
  const id = ++noticeId;
  setNotices((all) => [...all.filter((n) => n.text !== text).slice(-2), { id, text }]);
}
export function dismiss(id: number): void {
  setNotices((all) => all.filter((n) => n.id !== id));
}
/** Spoken to screen readers. */
export function say(text: string): void {
  setSaid(text);
}

type TickAsked = { list: TickList; name: string; said: string; on: boolean };
const asked = new Map<number, { finding: string; remedy: number } | { undo: true } | { slide: true } | { tick: TickAsked }>();
/** Who waits for the answer to a question. */
const questions = new Map<number, (tell: Tell) => void>();
let helloPending = false;

const link = new Line({
  dial: () => new WebSocket(`${location.protocol === "https:" ? "wss" : "ws"}://${location.host}/talk`) as unknown as Wire,
  hear,
  state: (state, failed) => {
    batch(() => {
      setLine(state === "joining" && failed > 0 ? "away" : state);
      setFailed(failed);
      if (state === "open") {
        setAnew(false);
        helloPending = true;
        // Said first, so that what is not looked at is not sent either.
        link.say({ ask: "look", id: hand.number(), ...look });
        link.say(known() ? { ask: "hello", seen: rev() } : { ask: "hello" });
      } else if (state === "away") {
        hand.lost();
        lostQuestions();
        void openedAnew().then((so) => setAnew(so && line() !== "open"));
      }
    });
  },
});

let look: { situation: string | null; beside: BesideTheBoard[] } = { situation: null, beside: [] };
/** Says what this page shows beside the board, the lists and the findings; the desk sends nothing else. */
export function lookAt(situation: string | null, beside: BesideTheBoard[]): void {
  if (situation === look.situation && beside.join() === look.beside.join()) return;
  look = { situation, beside };
  link.say({ ask: "look", id: hand.number(), ...look });
}

const hand = new Hand({
  say: (ask) => link.say(ask),
  rev,
  frame: (run) => requestAnimationFrame(run),
  settled: (edit, outcome) => {
    batch(() => {
      setUnsaved(hand.waiting.length);
      if (hand.waiting.length === 0 && !dragging()) setHeld(new Map());
      if (outcome.kind === "taken") say(`Done: ${edit.words}`);
      else notice(`“${edit.words}” was not done. ${outcome.why}`);
    });
  },
});

/** What you did that has no answer yet, in words. */
export function waiting(): string[] {
  unsaved();
  return hand.waiting.map((w) => w.words);
}

export function start(): void {
  link.join();
  addEventListener("beforeunload", (e) => {
    // Closing the page would lose it.
    if (unsaved() > 0) e.preventDefault();
  });
  const again = () => link.join();
  addEventListener("online", again);
  addEventListener("focus", again);
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") link.join();
  });
}

function hear(tell: Tell): void {
  batch(() => {
    switch (tell.tell) {
      case "study":
        setRev(tell.rev);
        setTrying(tell.trying);
        setTryRefused(null);
        take(tell.sections);
        if (tell.changed) amend(tell.changed);
        setTold((n) => n + 1);
        if (tell.deep) setDeepIsOld(false);
        else if (known()) setDeepIsOld(true);
        setKnown(true);
        if (typeof tell.answers === "number") {
          const what = asked.get(tell.answers);
          asked.delete(tell.answers);
          if (what && "tick" in what) toldTicks = { ...toldTicks, ticks: ticked(toldTicks.ticks, what.tick) };
        }
        if (!tell.trying) {
          setMistakes([]);
          // What was told before our slide arrived does not end it.
          if (![...asked.values()].some((what) => "slide" in what)) setSliding(false);
        }
        if (typeof tell.answers === "number") {
          if (!tell.trying) setRemedied(tell.answers === remedyAsked);
        }
        break;
      case "welcome":
        setWelcome({ guest: tell.guest, mayEdit: tell.may_edit, phones: tell.phones, phonesMayEdit: tell.phones_may_edit });
        break;
      case "kept":
        setRev((old) => Math.max(old, tell.rev));
        setKept({ undo: tell.undo, redo: tell.redo, saved: tell.saved, why: tell.why });
        break;
      case "ticks":
        toldTicks = tell;
        showTicks();
        break;
      case "broken":
        setMistakes(tell.mistakes);
        break;
      case "previewed": {
        const question = asked.get(tell.answers);
        asked.delete(tell.answers);
        const now = preview();
        if (question && "finding" in question && now?.finding === question.finding && now.remedy === question.remedy) {
          setPreview({ ...question, state: "known", told: tell });
        }
        break;
      }
      case "refused":
      case "conflict":
        if (tell.answers === hand.lastTry) setTryRefused(tell.why);
        if (asked.has(tell.answers)) {
          const what = asked.get(tell.answers);
          asked.delete(tell.answers);
          if (what && !("tick" in what)) {
            setPreview(null);
            setSliding(false);
          }
          showTicks();
          notice(tell.why);
        }
        break;
    }
    if ("answers" in tell && typeof tell.answers === "number") {
      const waits = questions.get(tell.answers);
      questions.delete(tell.answers);
      waits?.(tell);
    }
    hand.heard(tell);
    if (helloPending && (tell.tell === "study" || tell.tell === "kept")) {
      helloPending = false;
      hand.found();
    }
  });
}

function take(sections: Partial<Sections>): void {
  const named = { key: "name" } as const;
  if (sections.robot) setStudy("robot", reconcile(sections.robot));
  if (sections.sheet !== undefined) setStudy("sheet", reconcile(sections.sheet, named));
  if (sections.parts) setStudy("parts", reconcile(sections.parts, named));
  if (sections.plugs) setStudy("plugs", reconcile(sections.plugs, named));
  if (sections.wires) setStudy("wires", reconcile(sections.wires, named));
  if (sections.looms) setStudy("looms", reconcile(sections.looms, named));
  if (sections.findings) setStudy("findings", reconcile(sections.findings, { key: "key" }));
  if (sections.good_news) setStudy("good_news", reconcile(sections.good_news));
  if (sections.situations) setSituations(sections.situations);
  if (sections.loads) setLoads(sections.loads);
  if (sections.plots) setPlots(sections.plots);
  if (sections.diagram) setDiagram(sections.diagram);
  if (sections.make !== undefined) setMaking(sections.make);
  if (sections.zones) setStudy("zones", reconcile(sections.zones, named));
  if (sections.off_board) setStudy("off_board", reconcile(sections.off_board, named));
}

/** Puts the things that changed in the place of those of the same name; the others are not touched. */
function amend(changed: Changed): void {
  const things = <K extends keyof Changed>(list: K, key: string) => {
    for (const thing of changed[list] ?? []) {
      const named = (x: object) => (x as Record<string, unknown>)[key];
      const at = (study[list] as object[]).findIndex((old) => named(old) === named(thing));
      if (at >= 0) setStudy(list as "parts", at, reconcile(thing as PartOn, { key: "name" }));
    }
  };
  things("parts", "name");
  things("plugs", "name");
  things("wires", "name");
  things("looms", "name");
  things("findings", "key");
}
type Changed = NonNullable<Extract<Tell, { tell: "study" }>["changed"]>;

function lostQuestions(): void {
  const undo = [...asked.values()].some((q) => "undo" in q);
  asked.clear();
  for (const [answers, waits] of questions) waits({ tell: "refused", answers, why: AWAY });
  questions.clear();
  setPreview(null);
  if (undo) notice("The line went while something was being undone. See whether it is done before you ask again.");
}

const AWAY = "There is no line to the desk just now. Do it again when it is back.";

// ---- what the builder does ----

type Unnumbered<A> = A extends { id: number } ? Omit<A, "id"> : never;

/** Asks the desk something, and gives what it says to that. */
export function question(ask: Unnumbered<Ask>): Promise<Tell> {
  const id = hand.number();
  return new Promise((done) => {
    questions.set(id, done);
    if (link.say({ ...ask, id } as Ask)) return;
    questions.delete(id);
    done({ tell: "refused", answers: id, why: AWAY });
  });
}

/** Changes the files, as one step that can be undone. `there` says whether the files show it already. */
export function make(words: string, edits: Edit[], there: () => boolean): void {
  makeEdits(words, edits, () => (there() ? "taken" : "untouched"));
}

/** Changes the files as one step; `find` looks whether it was taken, after the line was gone. */
export function makeEdits(words: string, edits: Edit[], find: () => Found): void {
  if (!mayEdit()) return;
  hand.edit(words, edits, find);
  setUnsaved(hand.waiting.length);
}

/** Asks what changes would lead to; nothing is kept. */
export function asksTry(edits: Edit[]): void {
  if (!mayEdit()) return;
  hand.try(edits);
}
/** Shows the files again. */
export function dropTry(): void {
  hand.letGo();
}
/** An edit has no answer yet. */
export const waits = (): boolean => hand.waiting.length > 0;

export function partNamed(name: string): PartOn | undefined {
  return study.parts.find((p) => p.name === name);
}

/** A situation at another speed, charge or volume is on show; nothing of it is kept. */
const [sliding, setSliding] = createSignal(false);
export { sliding };

/** Where the sliders stand; what is left out is as the files say. */
export type Slid = { speed_m_s?: number; charge_percent?: number; volume_percent?: number };

/** Shows a situation at another speed, state of charge or volume. */
export function slide(situation: string, to: Slid): void {
  if (Object.values(to).every((value) => value === undefined)) return endSlide();
  const id = hand.number();
  // One that this one overtakes gets no answer.
  for (const [old, what] of asked) if ("slide" in what) asked.delete(old);
  asked.set(id, { slide: true });
  if (link.say({ ask: "slide", id, situation, ...to })) setSliding(true);
  else notice("There is no line to the desk just now. Try it again when it is back.");
}

export function endSlide(): void {
  if (!sliding()) return;
  setSliding(false);
  for (const [old, what] of asked) if ("slide" in what) asked.delete(old);
  link.say({ ask: "let_go", id: hand.number() });
}

/** Ticks something off, or takes its tick away. It shows at once; what the desk then tells is what is kept. */
export function tick(list: TickList, name: string, said: string, on: boolean): void {
  const id = hand.number();
  if (!link.say({ ask: "tick", id, list, name, said, on })) {
    notice("There is no line to the desk just now. Tick it again when it is back.");
    setTicks((t) => ({ ...t }));
    return;
  }
  asked.set(id, { tick: { list, name, said, on } });
  showTicks();
}

/** What the desk told of ticks last; and on show, with it, what was ticked since and has no answer yet. */
let toldTicks: { ticks: readonly Tick[]; why?: string } = { ticks: [] };
function showTicks(): void {
  const all = [...asked.values()].reduce((all, what) => ("tick" in what ? ticked(all, what.tick) : all), toldTicks.ticks);
  setTicks({ ticks: all, why: toldTicks.why });
}

function ticked(all: readonly Tick[], { list, name, said, on }: TickAsked): readonly Tick[] {
  const others = all.filter((x) => x.list !== list || x.name !== name);
  return on ? [...others, { list, name, said }] : others;
}

export function undo(): void {
  if (kept().undo !== null && mayEdit()) step("undo");
}
export function redo(): void {
  if (kept().redo !== null && mayEdit()) step("redo");
}
function step(ask: "undo" | "redo"): void {
  const id = hand.number();
  const words = kept()[ask];
  if (!link.say({ ask, id })) {
    notice(`There is no line to the desk just now. ${ask === "undo" ? "Undo" : "Redo"} again when it is back.`);
    return;
  }
  asked.set(id, { undo: true });
  if (words !== null) say(`${ask === "undo" ? "Undone" : "Done again"}: ${words}`);
}

export function askPreview(finding: string, remedy: number): void {
  const id = hand.number();
  setPreview({ finding, remedy, state: "asked" });
  asked.set(id, { finding, remedy });
  if (!link.say({ ask: "preview", id, base: rev(), finding, remedy })) {
    setPreview(null);
    notice("There is no line to the desk just now. Ask again when it is back.");
  }
}

let remedyAsked = 0;
export function applyRemedy(finding: string, remedy: number): void {
  const id = hand.number();
  asked.set(id, { undo: true });
  if (link.say({ ask: "remedy", id, base: rev(), finding, remedy })) {
    remedyAsked = id;
    setPreview(null);
  } else notice("There is no line to the desk just now. Apply it again when it is back.");
}
