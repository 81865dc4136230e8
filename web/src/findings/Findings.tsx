// What was found: worst first, what is mended together standing together, with the numbers of the tags on the board.

import { For, Show, createEffect, createMemo, createSignal } from "solid-js";
import type { Severity } from "../talk.ts";
import { deepIsOld, kept, known, remedied, study, undo } from "../state/desk.ts";
import type { About, Group, Numbered } from "../state/groups.ts";
import { chooseThing, goTo, groups, narrow, openFinding, page, setOpenFinding, setPage, unit } from "../state/view.ts";
import { TagShape } from "../board/Labels.tsx";
import { heir } from "../words/focus.ts";
import { named } from "../words/numbers.ts";
import { plural } from "../words/say.ts";
import { Said } from "../words/Said.tsx";
import { Remedies } from "./Remedies.tsx";
import { placeOf } from "./place.ts";

const [only, setOnly] = createSignal<Severity | null>(null);


export function Counts() {
  const counts = createMemo(() => {
    const out: Record<Severity, number> = { danger: 0, fix: 0, look: 0, note: 0 };
    for (const f of study.findings) out[f.severity]++;
    return out;
  });
  const severities: Severity[] = ["danger", "fix", "look", "note"];
  return (
    <div class="counts" role="group" aria-label="Show only">
      <For each={severities}>
        {(s) => (
          <button
            type="button" class={`count ${s}`} aria-pressed={only() === s} disabled={counts()[s] === 0}
            onClick={() => {
              setOnly(only() === s && page() === "findings" ? null : s);
              setPage("findings");
            }}
          >
            <svg class="mark" viewBox="0 0 20 20" aria-hidden="true"><TagShape severity={s} number="" at={[10, 10]} r={9.5} /></svg>
            <span class="number">{counts()[s]}</span> {s}
          </button>
        )}
      </For>
    </div>
  );
}

export function Findings() {
  const shownGroups = createMemo(() => {
    const severity = only();
    if (severity === null) return groups();
    return groups()
      .map((g) => ({ ...g, items: g.items.filter((i) => i.finding.severity === severity) }))
      .filter((g) => g.items.length > 0);
  });
  // Keyed by name, so that what stays keeps its place and its focus while you drag.
  const byKey = createMemo(() => new Map(shownGroups().map((g) => [g.key, g])));
  createEffect(() => {
    const key = openFinding();
    if (key === null) return;
    if (only() !== null && !shownGroups().some((g) => g.items.some((i) => i.finding.key === key))) setOnly(null);
    queueMicrotask(() => {
      document.querySelector(`[data-item="${CSS.escape(key)}"]`)?.scrollIntoView({ block: "nearest" });
    });
  });
  return (
    <section class="findings" aria-label="Findings">
      <Show when={remedied() && kept().undo}>
        {(words) => (
          <p class="outcome" role="status" tabindex="-1" ref={heir}>Done: {words()} <button type="button" onClick={undo}>Take it back</button></p>
        )}
      </Show>
      <Show when={known() && study.findings.length === 0}>
        <p class="empty">Nothing found: as far as the files say, everything fits, carries its current and can be reached.</p>
      </Show>
      <For each={shownGroups().map((g) => g.key)}>
        {(key) => <Show when={byKey().get(key)}>{(group) => <GroupView group={group()} />}</Show>}
      </For>
      <Show when={study.good_news.length > 0 && only() === null}>
        <section class="good" aria-label="What is well">
          <h3>What is well</h3>
          <ul>
            <For each={study.good_news}>{(text) => <li><Said text={text} /></li>}</For>
          </ul>
        </section>
      </Show>
      <Show when={deepIsOld() && study.findings.some((f) => f.deep)}>
        <p class="older" role="status">
          Marked ◷: found before your last change. They are looked at again when your hand rests.
        </p>
      </Show>
    </section>
  );
}

function titleOf(about: About) {
  return about.name === "" ? (about.kind === "board" ? "The board" : "The whole robot") : about.name;
}

function GroupView(props: { group: Group }) {
  const byKey = createMemo(() => new Map(props.group.items.map((i) => [i.finding.key, i])));
  const title = () => props.group.about.map(titleOf).join(", ");
  return (
    <section class="group" aria-label={`${title()}: ${plural(props.group.items.length, "finding")}`}>
      <h3>
        <For each={props.group.about}>
          {(about, i) => (
            <>
              <Show when={i() > 0}>{", "}</Show>
              <Title about={about} alone={props.group.about.length === 1} />
            </>
          )}
        </For>
      </h3>
      <For each={props.group.items.map((i) => i.finding.key)}>
        {(key) => <Show when={byKey().get(key)}>{(item) => <Item item={item()} />}</Show>}
      </For>
    </section>
  );
}

function Title(props: { about: About; alone: boolean }) {
  const at = () => placeOf(props.about.kind, props.about.name);
  return (
    <>
      <Show when={at()} fallback={titleOf(props.about)}>
        {(p) => (
          <button
            type="button" class="link" title="Show it on the board"
            onClick={() => {
              chooseThing(props.about.kind, props.about.name);
              goTo(p().at, p().face);
            }}
          >
            {titleOf(props.about)}
          </button>
        )}
      </Show>
      <Show when={props.alone && props.about.name !== ""}><span class="kind">{props.about.kind}</span></Show>
    </>
  );
}

function Item(props: { item: Numbered }) {
  const f = () => props.item.finding;
  const open = () => openFinding() === f().key;
  const others = () => f().subjects.slice(1);
  const spot = () => f().spot ?? f().subjects.map((s) => placeOf(s.kind, s.name)).find((p) => p !== null) ?? null;
  const go = () => {
    const s = spot();
    if (s) goTo("at_mm" in s ? [s.at_mm[0], s.at_mm[1]] : s.at, s.face);
  };
  return (
    <article class={`finding ${f().severity}`} classList={{ open: open() }} data-item={f().key}>
      <button
        type="button" class="finding-head" aria-expanded={open()}
        onClick={() => {
          setOpenFinding(open() ? null : f().key);
          if (open() && !narrow()) go();
        }}
      >
        <svg class="mark" viewBox="0 0 28 28" aria-hidden="true"><TagShape severity={f().severity} number={String(props.item.number)} at={[14, 14]} r={13.5} /></svg>
        <span class="finding-words">
          <span class="severity">{f().severity}<Show when={f().deep && deepIsOld()}> <span title="Found before your last change">◷</span></Show></span>
          <Said text={f().what} />
        </span>
      </button>
      <Show when={open()}>
        <div class="finding-more">
          <Numbers values={f().values} limits={f().limits} />
          <Show when={f().situation}>
            <p>Shows in the situation <b>{f().situation}</b>.</p>
          </Show>
          <Show when={f().why !== ""}>
            <h4>Why</h4>
            <p><Said text={f().why} /></p>
          </Show>
          <Show when={f().source !== ""}>
            <p class="source">Source: {f().source}</p>
          </Show>
          <Show when={others().length > 0}>
            <p class="quiet">Also about {others().map((s) => s.name || s.kind).join(", ")}.</p>
          </Show>
          <Show when={f().subjects[0]?.file}>
            {(file) => <p class="quiet">Written in {file()}{f().subjects[0]?.line ? `, line ${f().subjects[0]!.line}` : ""}.</p>}
          </Show>
          <Show when={spot()}>
            <button type="button" onClick={go}>Show the place</button>
          </Show>
          <Remedies finding={f()} />
        </div>
      </Show>
    </article>
  );
}

function Numbers(props: { values: readonly (readonly [string, number])[]; limits: readonly (readonly [string, number])[] }) {
  const rows = createMemo(() => {
    const limits = new Map(props.limits.map(([k, v]) => [k, v]));
    const rows = props.values.map(([key, value]) => {
      const limit = limits.get(key);
      limits.delete(key);
      const { label, text } = named(key, value, unit());
      return { label, text, limit: limit === undefined ? "" : named(key, limit, unit()).text };
    });
    for (const [key, value] of limits) {
      const { label, text } = named(key, value, unit());
      rows.push({ label, text: "", limit: text });
    }
    return rows;
  });
  return (
    <Show when={rows().length > 0}>
      <table class="numbers">
        <thead><tr><th scope="col"><span class="unseen">What</span></th><th scope="col">is</th><th scope="col">limit</th></tr></thead>
        <tbody>
          <For each={rows()}>
            {(r) => <tr><th scope="row">{r.label}</th><td>{r.text}</td><td>{r.limit}</td></tr>}
          </For>
        </tbody>
      </table>
    </Show>
  );
}
