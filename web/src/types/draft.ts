// A part type on its way: what was typed, what the desk says of it, and the photo that may lie under it.

import { batch, createEffect, createMemo, createSignal, on } from "solid-js";
import { createStore, reconcile, unwrap } from "solid-js/store";
import type { DraftDrawn, DraftType, Place, Pt, TypeForms, Wrong } from "../talk.ts";
import { notice, question, rev, say } from "../state/desk.ts";
import { unit } from "../state/view.ts";
import { cornered, fitted, measure, toMm } from "./trace.ts";
import type { Fit, Runs } from "./trace.ts";

const NOTHING: DraftDrawn = { outline: [], height_mm: null, holes: [], terminals: [] };
function empty(): DraftType {
  return { name: "", unit: unit(), shape: "rectangle", values: {}, corners: [], holes: [], terminals: [], elements: [] };
}

export const [draft, setDraft] = createStore<DraftType>(empty());
export const [kind, setKind] = createSignal("");
export const [drawn, setDrawn] = createSignal<DraftDrawn>(NOTHING);
export const [wrong, setWrong] = createSignal<readonly Wrong[]>([]);
export const [file, setFile] = createSignal("");
export const [text, setText] = createSignal("");
export const [forms, setForms] = createSignal<TypeForms | null>(null);
/** The builder has asked for it to be written: from then on what is missing is said as well. */
export const [asked, setAsked] = createSignal(false);
/** The name of the type that was made last. */
export const [made, setMade] = createSignal<string | null>(null);

export function afresh(): void {
  batch(() => {
    setDraft(reconcile(empty()));
    setKind("");
    setDrawn(NOTHING);
    setWrong([]);
    setFile("");
    setText("");
    setAsked(false);
    setMade(null);
    setPhoto(null);
  });
}

export async function getForms(): Promise<void> {
  if (forms()) return;
  const told = await question({ ask: "type_forms" });
  if (told.tell === "type_forms") setForms(told.forms);
  else if (told.tell === "refused") notice(told.why);
}

const plain = (): DraftType => JSON.parse(JSON.stringify(unwrap(draft))) as DraftType;

/** Asks what holds so far, a moment after the last key; only the last answer counts. */
export function keepDrafted(): void {
  let latest = 0;
  createEffect(on(() => JSON.stringify(draft) + rev(), () => {
    const mine = ++latest;
    setTimeout(() => {
      if (mine !== latest) return;
      void question({ ask: "draft", draft: plain() }).then((told) => {
        if (mine !== latest || told.tell !== "drafted") return;
        batch(() => {
          setDrawn(told.drawn);
          setWrong(told.wrong);
          setFile(told.file);
          setText(told.text);
        });
      });
    }, 60);
  }));
}

/** What is wrong with a field; what is only missing is said when it is to be written. */
export function whyOf(path: string): string | null {
  const found = wrong().find((w) => w.field === path && (!w.missing || asked()));
  return found ? found.why : null;
}
export const missing = createMemo(() => wrong().filter((w) => w.missing).length);
export const mistaken = createMemo(() => wrong().filter((w) => !w.missing).length);

export async function write(): Promise<boolean> {
  setAsked(true);
  const name = draft.name.trim();
  const told = await question({ ask: "make_type", base: rev(), draft: plain() });
  if (told.tell === "wrong") {
    setWrong(told.wrong);
    say(`${told.wrong.length} ${told.wrong.length === 1 ? "field wants" : "fields want"} something else`);
    queueMicrotask(() => document.querySelector<HTMLElement>(".make-type [aria-invalid='true']")?.focus());
    return false;
  }
  if (told.tell === "refused" || told.tell === "conflict") {
    notice(told.why);
    return false;
  }
  afresh();
  setMade(name);
  say(`The type ${name} is made`);
  return true;
}

/** Begins like a kind of part; what was measured already stays. */
export function beginAs(key: string): void {
  const found = forms()?.kinds.find((k) => k.key === key);
  if (!found) return;
  const begin = JSON.parse(JSON.stringify(found.begin)) as DraftType;
  batch(() => {
    setKind(key);
    setDraft("terminals", begin.terminals);
    setDraft("elements", begin.elements);
    setDraft("values", (old) => ({ ...old, ...begin.values }));
  });
}

export async function beginLike(of: string): Promise<string | null> {
  const told = await question({ ask: "draft_like", of });
  if (told.tell === "refused") return told.why;
  if (told.tell !== "draft_like") return null;
  batch(() => {
    setDraft(reconcile({ ...told.draft, name: "" }));
    setKind("");
    setAsked(false);
  });
  say(`Begun like ${of}`);
  return told.left_out.length > 0 ? `Not taken over: ${told.left_out.join(", ")}.` : null;
}

// ---- the photo ----

export type Photo = { canvas: HTMLCanvasElement; w: number; h: number };
export const [photo, setPhotoOnly] = createSignal<Photo | null>(null);
export type Step = "scale" | "corners" | "holes" | "terminal" | null;
export const [step, setStepOnly] = createSignal<Step>(null);
export const [ends, setEnds] = createSignal<readonly Pt[]>([]);
export const [known, setKnown] = createSignal("");
export const [runs, setRuns] = createSignal<Runs>("across");
export const [spots, setSpots] = createSignal<readonly Pt[]>([]);
export const [holeSpots, setHoleSpots] = createSignal<readonly Pt[]>([]);
/** Which terminal the next click places. */
export const [placed, setPlaced] = createSignal(0);

export function setPhoto(p: Photo | null): void {
  batch(() => {
    setPhotoOnly(p);
    setEnds([]);
    setSpots([]);
    setHoleSpots([]);
    setStepOnly(p ? "scale" : null);
  });
}

/** The known distance in mm, as typed. */
export const knownMm = createMemo(() => {
  const m = /^\s*(\d+(?:[.,]\d+)?)\s*(mm|cm|m|in|"|inch)?\s*$/u.exec(known());
  if (!m) return null;
  const by = { mm: 1, cm: 10, m: 1000, in: 25.4, '"': 25.4, inch: 25.4 }[m[2] ?? (unit() === "mm" ? "mm" : "in")] ?? 1;
  return Number(m[1]!.replace(",", ".")) * by;
});

/** From spots of the photo to places of the part; null until the scale is known. */
export const fit = createMemo<Fit | null>(() => {
  const [a, b] = ends();
  const mm = knownMm();
  if (!a || !b || mm === null) return null;
  const f = fitted({ a, b, mm, runs: runs() });
  return f ? cornered(f, spots()) : null;
});

export function setStep(to: Step): void {
  batch(() => {
    if (to === "scale") setEnds([]);
    if (to === "corners") {
      setSpots([]);
      setDraft("shape", "corners");
      setDraft("corners", []);
    }
    if (to === "holes") {
      setHoleSpots([]);
      setDraft("holes", []);
      setDraft("values", "pattern", "");
    }
    setStepOnly(to);
  });
}

const placeOf = (f: Fit, p: Pt): Place => {
  const [x, y] = toMm(f, p);
  return { x: measure(x, unit()), y: measure(y, unit()) };
};

/** A click on the photo. */
export function clickPhoto(p: Pt): void {
  batch(() => {
    const f = fit();
    switch (step()) {
      case "scale":
        setEnds((old) => (old.length >= 2 ? [p] : [...old, p]));
        break;
      case "corners":
        if (!f) break;
        setSpots((old) => [...old, p]);
        setDraft("corners", spots().map((s) => placeOf(fit() ?? f, s)));
        break;
      case "holes":
        if (!f) break;
        setHoleSpots((old) => [...old, p]);
        setDraft("holes", (old) => [...old, placeOf(f, p)]);
        break;
      case "terminal":
        if (!f || !draft.terminals[placed()]) break;
        setDraft("terminals", placed(), (old) => ({ ...old, ...placeOf(f, p) }));
        if (placed() + 1 < draft.terminals.length) setPlaced((n) => n + 1);
        break;
    }
  });
}

export function takeLastSpot(): void {
  batch(() => {
    const f = fit();
    if (step() === "scale") setEnds((old) => old.slice(0, -1));
    else if (step() === "corners" && f) {
      setSpots((old) => old.slice(0, -1));
      setDraft("corners", spots().map((s) => placeOf(fit() ?? f, s)));
    } else if (step() === "holes") {
      setHoleSpots((old) => old.slice(0, -1));
      setDraft("holes", (old) => old.slice(0, -1));
    }
  });
}
