// One thing of the robot, key by key, as its file writes it.

import { For, Show, createEffect, createSignal, on } from "solid-js";
import type { EditSubject, FieldOn } from "../talk.ts";
import { mayEdit, question, rev, say } from "../state/desk.ts";
import { Said } from "../words/Said.tsx";
import { look, putAway } from "./bench.ts";
import { Corners } from "./Corners.tsx";
import { Remove } from "./Remove.tsx";
import { Stands } from "./Stands.tsx";

const KINDS: Partial<Record<EditSubject["kind"], string>> = {
  "board-mount": "bolt of the board", "keep-out": "kept-out area", pass: "opening", type: "part type",
};

export function Thing(props: { on: EditSubject }) {
  const [fields, setFields] = createSignal<FieldOn[]>([]);
  const [about, setAbout] = createSignal("");
  const [away, setAway] = createSignal<string | null>(null);
  const [all, setAll] = createSignal(false);
  let asked = 0;
  const read = async () => {
    const mine = ++asked;
    const told = await question({ ask: "fields", on: props.on });
    if (mine !== asked) return;
    if (told.tell === "fields") {
      setAbout(told.about);
      setAway(null);
      // What reads the same stays, so that the field you are in keeps what you have begun.
      setFields((old) => told.fields.map((f) => {
        const was = old.find((o) => o.key === f.key);
        return was && JSON.stringify(was) === JSON.stringify(f) ? was : f;
      }));
    } else if (told.tell === "refused") {
      setFields([]);
      setAway(told.why);
    }
  };
  createEffect(on(() => [props.on.kind, props.on.name, rev()], () => void read()));
  createEffect(on(() => [props.on.kind, props.on.name], () => setAll(false)));
  const given = () => fields().filter((f) => f.text !== "" || f.required);
  const others = () => fields().filter((f) => f.text === "" && !f.required);
  return (
    <section class="thing" aria-label={`Keys of ${props.on.name ?? props.on.kind}`}>
      <div class="thing-head">
        <h3 tabindex="-1">{props.on.name ?? `The ${props.on.kind}`} <Show when={props.on.name}><span class="kind">{KINDS[props.on.kind] ?? props.on.kind}</span></Show></h3>
        <button type="button" class="quiet-button" aria-label="Close" title="Close" onClick={putAway}>×</button>
      </div>
      <Show when={away() === null} fallback={<p class="empty"><Said text={away()!} /></p>}>
        <p class="quiet"><Said text={about()} /></p>
        <Show when={props.on.kind === "part" && mayEdit()}><Stands name={props.on.name!} /></Show>
        <For each={given()}>{(f) => <Row on={props.on} field={f} />}</For>
        <Show when={others().length > 0}>
          <button type="button" aria-expanded={all()} onClick={() => setAll(!all())}>
            {all() ? "Hide what is not given" : `${others().length} more that may be given`}
          </button>
          <Show when={all()}><For each={others()}>{(f) => <Row on={props.on} field={f} />}</For></Show>
        </Show>
        <Show when={props.on.name && mayEdit()}><Remove on={props.on} /></Show>
      </Show>
    </section>
  );
}

function Row(props: { on: EditSubject; field: FieldOn }) {
  return <Show when={props.field.corners && mayEdit()} fallback={<Key on={props.on} field={props.field} />}><Corners on={props.on} field={props.field} /></Show>;
}

let keys = 0;

function Key(props: { on: EditSubject; field: FieldOn }) {
  const id = `key-${++keys}`;
  const [why, setWhy] = createSignal<string | null>(null);
  const [open, setOpen] = createSignal(false);
  const put = async (text: string) => {
    if (text.trim() === props.field.text) {
      setWhy(null);
      return;
    }
    const told = await question({ ask: "field", base: rev(), on: props.on, key: props.field.key, text });
    if (told.tell === "refused" || told.tell === "conflict") {
      setWhy(told.why);
      say(told.why);
    } else {
      setWhy(null);
      if (props.field.key === "name") look({ kind: props.on.kind, name: text.trim() });
      say(text.trim() === "" ? `${props.field.key} is taken out` : `${props.field.key} is ${text.trim()}`);
    }
  };
  const described = () => [why() === null ? "" : `${id}-why`, open() ? `${id}-about` : ""].filter((x) => x !== "").join(" ") || undefined;
  return (
    <div class="key">
      <label for={id}>{props.field.key}</label>
      <Show when={props.field.editable && mayEdit()} fallback={<output id={id} class="quiet">{props.field.text}</output>}>
        <Show
          when={props.field.only_these}
          fallback={
            <>
              <input
                id={id} value={props.field.text} placeholder={props.field.hint} autocomplete="off" spellcheck={false}
                list={props.field.words.length > 0 ? `${id}-words` : undefined}
                aria-invalid={why() !== null} aria-describedby={described()} aria-required={props.field.required}
                onChange={(e) => void put(e.currentTarget.value)}
                onKeyDown={(e) => {
                  // The browser sees no change in it, but what did not go may go now.
                  if (e.key === "Enter" && why() !== null) void put(e.currentTarget.value);
                  if (e.key !== "Escape") return;
                  e.currentTarget.value = props.field.text;
                  setWhy(null);
                }}
              />
              <Show when={props.field.words.length > 0}>
                <datalist id={`${id}-words`}><For each={props.field.words}>{(w) => <option value={w} />}</For></datalist>
              </Show>
            </>
          }
        >
          <select
            id={id} aria-invalid={why() !== null} aria-describedby={described()}
            onChange={(e) => void put(e.currentTarget.value)}
          >
            <option value="" selected={props.field.text === ""} disabled={props.field.required}>{props.field.required ? "choose" : "not given"}</option>
            <For each={props.field.words}>{(w) => <option value={w} selected={w === props.field.text}>{w}</option>}</For>
          </select>
        </Show>
      </Show>
      <button
        type="button" class="quiet-button why-key" aria-expanded={open()} aria-label={`What ${props.field.key} means`} title={props.field.about}
        onClick={() => setOpen(!open())}
      >?</button>
      <Show when={open()}><p class="key-about quiet" id={`${id}-about`}><Said text={props.field.about} /></p></Show>
      <Show when={why()}>{(text) => <p class="key-why" id={`${id}-why`}><Said text={text()} /></p>}</Show>
    </div>
  );
}
