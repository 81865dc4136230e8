// A part type from measurements: a form, and beside it the drawing that grows as the numbers go in.

import { For, Index, Show, createMemo, createSignal, onCleanup, onMount } from "solid-js";
import type { FormField, Shape } from "../talk.ts";
import { question } from "../state/desk.ts";
import { narrow, unit } from "../state/view.ts";
import { Said } from "../words/Said.tsx";
import { begin, putAway } from "../editing/bench.ts";
import { setWanted } from "../editing/placing.ts";
import { FromDrawing } from "./FromDrawing.tsx";
import { FromPhoto } from "./FromPhoto.tsx";
import { Points } from "./Points.tsx";
import { TypeSheet } from "./TypeSheet.tsx";
import { afresh, beginAs, beginLike, draft, file, forms, getForms, keepDrafted, kind, made, mistaken, missing, setDraft, text, whyOf, write, wrong } from "./draft.ts";

const SHAPES: readonly [Shape, string][] = [["rectangle", "rectangle"], ["round", "round"], ["corners", "any other, by its corners"]];
let ids = 0;

export function MakeType() {
  onMount(() => {
    if (made() !== null) afresh();
    if (draft.name === "" && draft.unit !== unit()) setDraft("unit", unit());
    void getForms();
  });
  keepDrafted();
  return (
    <section class="thing make-type" data-making aria-label="Make a part type">
      <div class="thing-head">
        <h3 tabindex="-1">Make a part type</h3>
        <button type="button" class="quiet-button" aria-label="Close" title="Close; what you typed stays" onClick={putAway}>×</button>
      </div>
      <Show when={made()} fallback={<Form />}>
        {(name) => (
          <div class="making">
            <p><b>{name()}</b> is made. It stands in the folder <code>parts</code> of your robot, and can be put on the board as often as you like.</p>
            <div class="fields">
              <button type="button" class="main" onClick={() => { setWanted(name()); begin("part"); }}>Put one on the board</button>
              <button type="button" onClick={afresh}>Make another type</button>
            </div>
          </div>
        )}
      </Show>
    </section>
  );
}

function Form() {
  const value = (key: string) => draft.values[key] ?? "";
  const put = (key: string) => (t: string) => setDraft("values", key, t);
  const like = () => (unit() === "mm" ? "like 60 mm" : "like 2 1/2 in");
  return (
    <>
      <p class="quiet">Measure the part, as seen looking at it where it is mounted. A length without a unit is in {draft.unit === "mm" ? "millimetres" : "inches"}.</p>
      <Show when={narrow()}><TypeSheet /></Show>
      <Beginning />
      <Txt path="name" words="name" value={draft.name} put={(t) => setDraft("name", t)} hint="like lamp-60" about="Letters, digits, - and _. Its file is called after it." />
      <Txt path="title" words="title" value={value("title")} put={put("title")} hint="what it is, for people" />
      <h4>Footprint</h4>
      <fieldset class="shapes">
        <legend class="unseen">Shape</legend>
        <For each={SHAPES}>
          {([s, words]) => <label><input type="radio" name="type-shape" checked={draft.shape === s} onChange={() => setDraft("shape", s)} /> {words}</label>}
        </For>
      </fieldset>
      <Show when={draft.shape === "rectangle"}>
        <Txt path="width" words="width" value={value("width")} put={put("width")} hint={like()} about="From left to right." />
        <Txt path="depth" words="depth" value={value("depth")} put={put("depth")} hint={like()} about="Along the board, from below upwards." />
      </Show>
      <Show when={draft.shape === "round"}><Txt path="diameter" words="diameter" value={value("diameter")} put={put("diameter")} hint={like()} about="The middle is the origin of all other measures." /></Show>
      <Show when={draft.shape === "corners"}>
        <Points id="corners" words="corner" rows={draft.corners} put={(rows) => setDraft("corners", rows.map(({ x, y }) => ({ x, y })))} hint={draft.unit === "mm" ? "mm" : "in"} why={(i) => whyOf(`corners.${i}.x`) ?? whyOf(`corners.${i}.y`)} />
        <Show when={whyOf("corners")}>{(why) => <p class="key-why">{why()}</p>}</Show>
      </Show>
      <Txt path="height" words="height" value={value("height")} put={put("height")} hint={like()} about="How far it stands off its mounting surface." />
      <Txt path="mass" words="mass" value={value("mass")} put={put("mass")} hint="like 70 g" />
      <Holes />
      <h4>Terminals</h4>
      <p class="quiet">Where wires land. Measured from {draft.shape === "round" ? "the middle" : "the lower left corner"}; the wire leaves over the nearest edge unless you say otherwise.</p>
      <Index each={draft.terminals}>{(t, i) => <Terminal index={i} values={t()} />}</Index>
      <div class="fields"><button type="button" onClick={() => setDraft("terminals", draft.terminals.length, { name: "", role: "", fitting: "screw-clamp" })}>Add a terminal</button></div>
      <h4>What it does electrically</h4>
      <Index each={draft.elements}>{(e, i) => <Element index={i} values={e()} />}</Index>
      <AddElement />
      <More />
      <Writing />
    </>
  );
}

function Beginning() {
  const [of, setOf] = createSignal("");
  const [types, setTypes] = createSignal<readonly { name: string; title: string }[]>([]);
  const [word, setWord] = createSignal<string | null>(null);
  onMount(() => void question({ ask: "library" }).then((told) => {
    if (told.tell === "library") setTypes(told.types);
  }));
  return (
    <div class="beginning">
      <div class="key">
        <label for="type-kind">what it is</label>
        <select id="type-kind" value={kind()} onChange={(e) => beginAs(e.currentTarget.value)}>
          <option value="" disabled>choose</option>
          <For each={forms()?.kinds ?? []}>{(k) => <option value={k.key}>{k.title}</option>}</For>
        </select>
      </div>
      <details>
        <summary>Or begin with what there is</summary>
        <div class="key">
          <label for="type-like">like the type</label>
          <input id="type-like" list="type-like-words" value={of()} placeholder="name of a type" autocomplete="off" spellcheck={false} onInput={(e) => setOf(e.currentTarget.value)} />
          <datalist id="type-like-words"><For each={types()}>{(t) => <option value={t.name}>{t.title}</option>}</For></datalist>
        </div>
        <div class="fields"><button type="button" disabled={of().trim() === ""} onClick={() => void beginLike(of().trim()).then(setWord)}>Take its numbers over</button></div>
        <Show when={word()}>{(w) => <p class="quiet" role="status"><Said text={w()} /></p>}</Show>
        <FromDrawing />
        <FromPhoto />
      </details>
    </div>
  );
}

function Holes() {
  const value = (key: string) => draft.values[key] ?? "";
  const put = (key: string) => (t: string) => setDraft("values", key, t);
  const like = () => (unit() === "mm" ? "like 5 mm" : "like 1/4 in");
  const pattern = () => value("pattern");
  return (
    <>
      <h4>Mounting holes</h4>
      <div class="key">
        <label for="type-pattern">pattern</label>
        <select id="type-pattern" value={pattern()} onChange={(e) => put("pattern")(e.currentTarget.value)}>
          <option value="">none, or single holes</option>
          <option value="corners">one in each corner</option>
          <option value="spacing">a rectangle, by its spacing</option>
        </select>
      </div>
      <Show when={pattern() === "corners"}><Txt path="hole_edge" words="from the edges" value={value("hole_edge")} put={put("hole_edge")} hint={like()} about="From each edge to the centre of the hole." /></Show>
      <Show when={pattern() === "spacing"}>
        <Txt path="hole_across" words="spacing across" value={value("hole_across")} put={put("hole_across")} hint={like()} about="From centre to centre; 0 for one column." />
        <Txt path="hole_up" words="spacing upwards" value={value("hole_up")} put={put("hole_up")} hint={like()} about="From centre to centre; 0 for one row." />
        <Txt path="hole_left" words="from the left edge" value={value("hole_left")} put={put("hole_left")} hint="in the middle" about="To the first centre. Left empty: the holes lie in the middle." />
        <Txt path="hole_below" words="from the lower edge" value={value("hole_below")} put={put("hole_below")} hint="in the middle" about="To the first centre. Left empty: the holes lie in the middle." />
      </Show>
      <Points id="holes" words="single hole" rows={draft.holes} put={(rows) => setDraft("holes", rows.map(({ x, y }) => ({ x, y })))} hint={draft.unit === "mm" ? "mm" : "in"} why={(i) => whyOf(`holes.${i}.x`) ?? whyOf(`holes.${i}.y`)} />
      <Show when={pattern() !== "" || draft.holes.length > 0}><Txt path="hole_diameter" words="diameter of the holes" value={value("hole_diameter")} put={put("hole_diameter")} hint={like()} /></Show>
    </>
  );
}

const MAIN_OF_TERMINAL = ["name", "role", "fitting", "exit", "thinnest", "thickest"];

function Terminal(props: { index: number; values: Record<string, string> }) {
  const path = () => `terminals.${props.index}.`;
  const put = (key: string) => (t: string) => setDraft("terminals", props.index, key, t);
  const field = (key: string) => forms()?.terminal.find((f) => f.key === key);
  const others = () => (forms()?.terminal ?? []).filter((f) => !MAIN_OF_TERMINAL.includes(f.key));
  const more = createMemo(() => others().filter((f) => (props.values[f.key] ?? "") !== "").length);
  const bad = () => wrong().some((w) => w.field.startsWith(path()) && whyOf(w.field) !== null);
  const badOther = () => others().some((f) => whyOf(`${path()}${f.key}`) !== null);
  const [open, setOpen] = createSignal((props.values["x"] ?? "") === "");
  return (
    <details class="card" open={open() || bad()} onToggle={(e) => setOpen(e.currentTarget.open)}>
      <summary><b>{props.values["name"] || `terminal ${props.index + 1}`}</b> <span class="quiet">{props.values["role"]}{(props.values["x"] ?? "") !== "" ? `, at ${props.values["x"]}, ${props.values["y"] ?? ""}` : ""}</span></summary>
      <For each={["name", "role"]}>{(k) => <Show when={field(k)}>{(f) => <Field path={path()} field={f()} value={props.values[k] ?? ""} put={put(k)} />}</Show>}</For>
      <Txt path={`${path()}x`} words="x" value={props.values["x"] ?? ""} put={put("x")} hint={unit()} about="From the left." />
      <Txt path={`${path()}y`} words="y" value={props.values["y"] ?? ""} put={put("y")} hint={unit()} about="From below." />
      <For each={["exit", "fitting", "thinnest", "thickest"]}>{(k) => <Show when={field(k)}>{(f) => <Field path={path()} field={f()} value={props.values[k] ?? ""} put={put(k)} />}</Show>}</For>
      <details open={badOther()}>
        <summary>More of it{more() > 0 ? ` (${more()} given)` : ""}</summary>
        <For each={others()}>{(f) => <Field path={path()} field={f} value={props.values[f.key] ?? ""} put={put(f.key)} />}</For>
      </details>
      <button type="button" class="link" onClick={() => setDraft("terminals", draft.terminals.filter((_, i) => i !== props.index))}>Take this terminal out</button>
    </details>
  );
}

function AddElement() {
  const [which, setWhich] = createSignal("load");
  return (
    <div class="fields">
      <label class="field"><span>Add a model</span>
        <select value={which()} onChange={(e) => setWhich(e.currentTarget.value)}><For each={forms()?.elements ?? []}>{(f) => <option value={f.kind}>{f.kind}</option>}</For></select>
      </label>
      <button type="button" onClick={() => setDraft("elements", draft.elements.length, { kind: which() })}>Add it</button>
    </div>
  );
}

function Element(props: { index: number; values: Record<string, string> }) {
  const form = () => forms()?.elements.find((f) => f.kind === props.values["kind"]);
  const path = () => `elements.${props.index}.`;
  const put = (key: string) => (t: string) => setDraft("elements", props.index, key, t);
  // A name is asked for when there are several.
  const shown = () => (form()?.fields ?? []).filter((f) => f.key !== "name" || draft.elements.length > 1);
  const another = () => {
    const copy = { ...props.values };
    const name = (copy["name"] ?? "") || `${copy["kind"]}-1`;
    const n = Number(/(\d+)$/u.exec(name)?.[1] ?? 1) + 1;
    copy["name"] = `${name.replace(/-?\d+$/u, "")}-${n}`;
    if ((props.values["name"] ?? "") === "") put("name")(name);
    setDraft("elements", draft.elements.length, copy);
  };
  return (
    <details class="card" open>
      <summary><b>{props.values["name"] || props.values["kind"]}</b> <span class="quiet">{form()?.about}</span></summary>
      <For each={shown()}>
        {(f) => <Show when={f.rows.length > 0} fallback={<Field path={path()} field={f} value={props.values[f.key] ?? ""} put={put(f.key)} />}><Rows path={path()} field={f} values={props.values} index={props.index} /></Show>}
      </For>
      <div class="fields">
        <button type="button" onClick={another}>Another like this</button>
        <button type="button" class="link" onClick={() => setDraft("elements", draft.elements.filter((_, i) => i !== props.index))}>Take this model out</button>
      </div>
    </details>
  );
}

/** A list of small tables: channels of a driver, activities of a load, points of a curve. */
function Rows(props: { path: string; field: FormField; values: Record<string, string>; index: number }) {
  const before = () => `${props.field.key}.`;
  const numbers = createMemo(() => {
    const all = Object.keys(props.values).filter((k) => k.startsWith(before())).map((k) => Number(k.slice(before().length).split(".")[0]));
    return [...new Set(all)].sort((a, b) => a - b);
  });
  const add = () => setDraft("elements", props.index, `${before()}${(numbers().at(-1) ?? -1) + 1}.${props.field.rows[0]!.key}`, "");
  // Taking a key out of a store is setting it to nothing; the whole record is put anew.
  const takeOut = (n: number) => {
    const left = Object.entries(props.values).filter(([k]) => !k.startsWith(`${before()}${n}.`));
    setDraft("elements", (all) => all.map((e, i) => (i === props.index ? Object.fromEntries(left) : e)));
  };
  return (
    <div class="rows" role="group" aria-label={words(props.field.key)}>
      <p class="rows-head"><b>{words(props.field.key)}</b> <span class="quiet">{props.field.about}</span></p>
      <For each={numbers()}>
        {(n, i) => (
          <div class="row">
            <For each={props.field.rows}>
              {(f) => <Field path={`${props.path}${before()}${n}.`} field={f} value={props.values[`${before()}${n}.${f.key}`] ?? ""} put={(t) => setDraft("elements", props.index, `${before()}${n}.${f.key}`, t)} />}
            </For>
            <button type="button" class="link" onClick={() => takeOut(n)}>Take {i() + 1} out</button>
          </div>
        )}
      </For>
      <Show when={whyOf(`${props.path}${props.field.key}`)}>{(why) => <p class="key-why">{why()}</p>}</Show>
      <button type="button" onClick={add}>Add to {words(props.field.key)}</button>
    </div>
  );
}

function More() {
  const fields = () => [
    ...["group", "about"].map((key): FormField => ({ key, hint: "", about: key === "group" ? "Shelf it stands on: motor drivers. Default: own parts." : "What it is for and what to watch.", words: [], only_these: false, required: false, terminal: false, rows: [] })),
    ...(forms()?.more ?? []),
  ];
  const given = createMemo(() => fields().filter((f) => (draft.values[f.key] ?? "") !== "").length);
  return (
    <details>
      <summary>More that may be said{given() > 0 ? ` (${given()} given)` : ""}</summary>
      <For each={fields()}>{(f) => <Field path="" field={f} value={draft.values[f.key] ?? ""} put={(t) => setDraft("values", f.key, t)} />}</For>
    </details>
  );
}

function Writing() {
  const general = () => wrong().filter((w) => w.field === "");
  return (
    <div class="advice">
      <p role="status" aria-live="polite">
        {text() !== "" ? "It is whole." : [missing() > 0 ? `${missing()} still to be given` : "", mistaken() > 0 ? `${mistaken()} to be put right` : ""].filter((x) => x !== "").join(", ") + "."}
        {file() !== "" ? ` It goes into ${file()}.` : ""}
      </p>
      <For each={general()}>{(w) => <p class="key-why"><Said text={w.why} /></p>}</For>
      <Show when={text() !== ""}><details><summary>What is written</summary><pre tabindex="0">{text()}</pre></details></Show>
      <div class="fields">
        <button type="button" class="main" onClick={() => void write()}>Make this type</button>
        <button type="button" onClick={afresh}>Begin again</button>
      </div>
    </div>
  );
}

const words = (key: string) => key.replace(/[_.]/gu, " ");

/** A field of the format's tables. */
function Field(props: { path: string; field: FormField; value: string; put: (t: string) => void }) {
  const list = () => (props.field.terminal ? [...new Set(draft.terminals.flatMap((t) => [t["name"] ?? "", t["node"] ?? ""]))].filter((n) => n !== "") : props.field.words);
  return <Txt path={`${props.path}${props.field.key}`} words={words(props.field.key)} value={props.value} put={props.put} hint={props.field.hint} about={props.field.about} list={list()} only={props.field.only_these} required={props.field.required} />;
}

function Txt(props: {
  path: string; words: string; value: string; put: (t: string) => void; hint: string; about?: string; list?: readonly string[];
  only?: boolean; required?: boolean;
}) {
  const id = `type-${++ids}`;
  const [open, setOpen] = createSignal(false);
  const why = () => whyOf(props.path);
  const described = () => [why() === null ? "" : `${id}-why`, open() ? `${id}-about` : ""].filter((x) => x !== "").join(" ") || undefined;
  onCleanup(() => setOpen(false));
  return (
    <div class="key">
      <label for={id}>{props.words}</label>
      <Show
        when={props.only}
        fallback={
          <>
            <input
              id={id} data-field={props.path} value={props.value} placeholder={props.hint} autocomplete="off" spellcheck={false}
              list={(props.list?.length ?? 0) > 0 ? `${id}-words` : undefined}
              aria-invalid={why() !== null} aria-describedby={described()} onInput={(e) => props.put(e.currentTarget.value)}
            />
            <Show when={(props.list?.length ?? 0) > 0}><datalist id={`${id}-words`}><For each={props.list}>{(w) => <option value={w} />}</For></datalist></Show>
          </>
        }
      >
        <select id={id} data-field={props.path} aria-invalid={why() !== null} aria-describedby={described()} onChange={(e) => props.put(e.currentTarget.value)}>
          <option value="" selected={props.value === ""}>{props.required ? "choose" : "not given"}</option>
          <For each={props.list}>{(w) => <option value={w} selected={w === props.value}>{w}</option>}</For>
        </select>
      </Show>
      <Show when={props.about}>
        <button type="button" class="quiet-button why-key" aria-expanded={open()} aria-label={`What ${props.words} means`} title={props.about} onClick={() => setOpen(!open())}>?</button>
        <Show when={open()}><p class="key-about quiet" id={`${id}-about`}><Said text={props.about!} /></p></Show>
      </Show>
      <Show when={why()}>{(text) => <p class="key-why" id={`${id}-why`}><Said text={text()} /></p>}</Show>
    </div>
  );
}
