// A new thing from its keys: those it must have, and those that are worth asking for.

import { For, Show, createEffect, createMemo, createSignal, on } from "solid-js";
import type { FieldOn, SubjectKind, Wrong } from "../talk.ts";
import { question, rev, say, study } from "../state/desk.ts";
import { unit } from "../state/view.ts";
import { boxOf, middle } from "../board/geometry.ts";
import { Said } from "../words/Said.tsx";
import { lengthNumber } from "../words/numbers.ts";
import { look, putAway } from "./bench.ts";

/** Keys that need not be given, and are asked for all the same. */
const ASKED: Partial<Record<SubjectKind, readonly string[]>> = {
  board: ["size", "edge_room"], zone: ["path"], plug: ["turn", "tail"], cable: ["outside"], "keep-out": ["face", "at", "size"],
};
/** The order in which one thinks of them, where it is not that of the files. */
const FIRST: Partial<Record<SubjectKind, readonly string[]>> = { board: ["size", "thickness", "material"] };

/** What most will want, to be changed. */
function usual(kind: SubjectKind, key: string): string {
  const at = study.sheet ? middle(boxOf(study.sheet.outline)) : ([0, 0] as [number, number]);
  const u = unit() === "mm" ? "mm" : "in";
  const pair = (x: number, y: number) => `${lengthNumber(x, unit())}, ${lengthNumber(y, unit())} ${u}`.replace(/\u2212/gu, "-");
  if (kind === "board-mount" && key === "thread") return "M5";
  if (kind === "keep-out" && key === "size") return pair(30, 20);
  if (kind === "plug" && key === "face") return "front";
  if (key === "at" && (kind === "board-mount" || kind === "keep-out" || kind === "plug")) return pair(at[0], at[1]);
  return "";
}

let ids = 0;

/** The fields of a kind, with a button that makes the thing. */
export function NewFields(props: { kind: SubjectKind; name: string | null; bad: boolean; words: string; done: () => void }) {
  const [all, setAll] = createSignal<readonly FieldOn[]>([]);
  const [typed, setTyped] = createSignal<Record<string, string>>({});
  const [wrong, setWrong] = createSignal<readonly Wrong[]>([]);
  const [why, setWhy] = createSignal<string | null>(null);
  let asked = 0;
  createEffect(on(() => [props.kind, study.zones.length], () => {
    const [mine, kind] = [++asked, props.kind];
    void question({ ask: "form", kind }).then((told) => {
      if (mine !== asked || told.tell !== "fields") return;
      setAll(told.fields);
    });
  }));
  createEffect(on(() => props.kind, () => {
    setTyped({});
    setWrong([]);
    setWhy(null);
  }, { defer: true }));
  const fields = createMemo(() => {
    const wanted = all().filter((f) => f.key !== "name" && (f.required || (ASKED[props.kind] ?? []).includes(f.key)));
    const place = (f: FieldOn) => {
      const i = (FIRST[props.kind] ?? []).indexOf(f.key);
      return i < 0 ? 99 : i;
    };
    return [...wanted].sort((a, b) => place(a) - place(b));
  });
  const value = (key: string) => typed()[key] ?? usual(props.kind, key);
  const add = async () => {
    const given = fields().map((f) => ({ key: f.key, text: value(f.key) }));
    const on = props.name === null ? { kind: props.kind } : { kind: props.kind, name: props.name };
    const told = await question({ ask: "new", base: rev(), on, given });
    if (told.tell === "wrong") {
      setWrong(told.wrong);
      say(told.wrong.map((w) => `${w.field}: ${w.why}`).join(" "));
      return;
    }
    if (told.tell === "refused" || told.tell === "conflict") {
      setWhy(told.why);
      say(told.why);
      return;
    }
    setTyped({});
    setWrong([]);
    setWhy(null);
    say(props.name === null ? "The board is made" : `Added ${props.name}`);
    props.done();
    look(on);
  };
  return (
    <>
      <For each={fields()}>{(f) => <Key field={f} value={value(f.key)} put={(t) => setTyped((old) => ({ ...old, [f.key]: t }))} why={wrong().find((w) => w.field === f.key)?.why ?? null} />}</For>
      <Show when={props.kind === "plug" && study.zones.length === 0}><p class="key-why">A plug leads to a zone: add a zone first.</p></Show>
      <Show when={why()}>{(text) => <p class="key-why" role="alert"><Said text={text()} /></p>}</Show>
      <div class="fields"><button type="button" class={props.kind === "board" ? "main" : ""} disabled={props.bad} onClick={() => void add()}>{props.words}</button></div>
    </>
  );
}

function Key(props: { field: FieldOn; value: string; put: (t: string) => void; why: string | null }) {
  const id = `new-${++ids}`;
  const [open, setOpen] = createSignal(false);
  return (
    <div class="key">
      <label for={id}>{props.field.key}</label>
      <Show
        when={props.field.only_these || (props.field.key === "zone" && props.field.words.length > 0)}
        fallback={
          <>
            <input id={id} value={props.value} placeholder={props.field.hint} autocomplete="off" spellcheck={false} list={props.field.words.length > 0 ? `${id}-words` : undefined} aria-invalid={props.why !== null} aria-required={props.field.required} onInput={(e) => props.put(e.currentTarget.value)} />
            <Show when={props.field.words.length > 0}><datalist id={`${id}-words`}><For each={props.field.words}>{(w) => <option value={w} />}</For></datalist></Show>
          </>
        }
      >
        <select id={id} aria-invalid={props.why !== null} onChange={(e) => props.put(e.currentTarget.value)}>
          <option value="" selected={props.value === ""} disabled={props.field.required}>{props.field.required ? "choose" : "not given"}</option>
          <For each={props.field.words}>{(w) => <option value={w} selected={w === props.value}>{w}</option>}</For>
        </select>
      </Show>
      <button type="button" class="quiet-button why-key" aria-expanded={open()} aria-label={`What ${props.field.key} means`} title={props.field.about} onClick={() => setOpen(!open())}>?</button>
      <Show when={open()}><p class="key-about quiet"><Said text={props.field.about} /></p></Show>
      <Show when={props.why}>{(text) => <p class="key-why"><Said text={text()} /></p>}</Show>
    </div>
  );
}

/** The first board. */
export function MakeBoard() {
  return (
    <section class="thing" data-making aria-label="Make the board">
      <div class="thing-head">
        <h3 tabindex="-1">Make the board</h3>
        <button type="button" class="quiet-button" aria-label="Close" onClick={putAway}>×</button>
      </div>
      <Show when={!study.sheet} fallback={<p class="empty">There is a board already.</p>}>
        <p class="quiet">The sheet that carries it all. A rectangle to begin with; other corners can be given afterwards, under “outline”. The two depths are the free room in front of it and behind it, in the body.</p>
        <NewFields kind="board" name={null} bad={false} words="Make the board" done={() => {}} />
      </Show>
    </section>
  );
}
