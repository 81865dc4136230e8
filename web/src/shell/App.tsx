// The whole desk: one line on top, the board, one column of words beside it.

import { For, Match, Show, Switch, createEffect, createMemo, createSignal, onCleanup, onMount } from "solid-js";
import { anew, dismiss, failed, known, line, mistakes, notices, redo, said, study, undo, waiting } from "../state/desk.ts";
import { keepChosen, keepLook, looking, narrow, page, phoneSide, setPage, setPhoneSide, theme } from "../state/view.ts";
import type { Page } from "../state/view.ts";
import { Board } from "../board/Board.tsx";
import { BenchView } from "../editing/Bench.tsx";
import { bench, putAway } from "../editing/bench.ts";
import { Counts, Findings } from "../findings/Findings.tsx";
import { Parts, WireList } from "../lists/Lists.tsx";
import { Make } from "../make/Make.tsx";
import { Power } from "../power/Power.tsx";
import { Situation } from "../situations/Situation.tsx";
import { Said } from "../words/Said.tsx";
import { TypeSheet } from "../types/TypeSheet.tsx";
import { Help } from "./Help.tsx";
import { Tour } from "./Tour.tsx";
import { Top } from "./Top.tsx";

const PAGES: readonly [Page, string][] = [["findings", "Findings"], ["situation", "Situation"], ["parts", "Parts"], ["wires", "Wires"], ["make", "Make"]];

export function App() {
  const [help, setHelp] = createSignal(false);
  // The drawing of a type that is being made stands in the board's place; on a phone it is in its form.
  const typing = createMemo(() => {
    const now = bench();
    return !narrow() && now !== null && "add" in now && now.add === "type";
  });
  keepChosen();
  keepLook();
  createEffect(() => {
    document.documentElement.dataset["theme"] = theme();
  });
  createEffect(() => {
    document.title = study.robot ? `${study.robot.name} – Loomdeck` : "Loomdeck";
  });
  onMount(() => {
    const keys = (e: KeyboardEvent) => {
      if (!(e.ctrlKey || e.metaKey) || e.altKey) return;
      const typing = e.target instanceof HTMLInputElement && e.target.type !== "checkbox";
      if (typing) return;
      const key = e.key.toLowerCase();
      if (key === "z" && !e.shiftKey) {
        e.preventDefault();
        undo();
      } else if ((key === "z" && e.shiftKey) || key === "y") {
        e.preventDefault();
        redo();
      }
    };
    addEventListener("keydown", keys);
    onCleanup(() => removeEventListener("keydown", keys));
  });
  return (
    <div class="desk" classList={{ "on-words": narrow() && phoneSide() === "words" }}>
      <Top />
      <Notices />
      <main class="bench">
        <Show when={known()} fallback={<Waiting />}>
          <Show when={!typing()} fallback={<TypeSheet />}>
            <Show when={looking() === "power"} fallback={<Board help={() => setHelp(true)} />}><Power help={() => setHelp(true)} /></Show>
          </Show>
          <Column />
        </Show>
      </main>
      <Show when={narrow() && known()}><PhoneBar /></Show>
      <Show when={known() && !help()}><Tour /></Show>
      <Show when={help()}><Help close={() => setHelp(false)} /></Show>
      <p class="unseen" role="status" aria-live="polite">{said()}</p>
    </div>
  );
}

function Column() {
  return (
    <aside class="column" aria-label="Words">
      <Counts />
      <Show when={!narrow()}>
        <nav class="pages" aria-label="What to read">
          <For each={PAGES}>
            {([p, words]) => <button type="button" aria-current={page() === p ? "page" : undefined} onClick={() => { putAway(); setPage(p); }}>{words}</button>}
          </For>
        </nav>
      </Show>
      <div class="page" tabindex="-1">
        <Switch>
          <Match when={bench()}><BenchView /></Match>
          <Match when={page() === "findings"}><Findings /></Match>
          <Match when={page() === "situation"}><Situation /></Match>
          <Match when={page() === "parts"}><Parts /></Match>
          <Match when={page() === "wires"}><WireList /></Match>
          <Match when={page() === "make"}><Make /></Match>
        </Switch>
      </div>
    </aside>
  );
}

function PhoneBar() {
  return (
    <nav class="phone-bar" aria-label="What to look at">
      <button type="button" aria-current={phoneSide() === "board" ? "page" : undefined} onClick={() => setPhoneSide("board")}>Board</button>
      <For each={PAGES}>
        {([p, words]) => (
          <button
            type="button" aria-current={phoneSide() === "words" && page() === p ? "page" : undefined}
            onClick={() => {
              if (phoneSide() === "words") putAway();
              setPage(p);
              setPhoneSide("words");
            }}
          >{words}<Show when={p === "findings" && study.findings.length > 0}> {study.findings.length}</Show></button>
        )}
      </For>
    </nav>
  );
}

function Waiting() {
  return (
    <div class="waiting">
      <p role="status">{line() === "away" ? (anew() ? "Open the address that the terminal shows now." : "The desk does not answer. Is it still running in the terminal? This page joins again by itself.") : mistakes().length > 0 ? "Mend the files with an editor and save; this page looks again by itself." : "Reading the robot …"}</p>
    </div>
  );
}

/** How the line comes back when it does not do so by itself, and what is kept until then. */
function Away() {
  return (
    <Show when={line() === "away" && (anew() || (waiting().length > 0 && failed() > 2))}>
      <div class="notice broken">
        <p>
          <b>{anew() ? "The desk was opened anew, and has a new address." : "The desk does not answer."}</b>{" "}
          {anew()
            ? "Open the address that the terminal shows now, in this browser. Leave this page open: it goes on by itself then."
            : "See whether it still runs in the terminal. When you open it anew, leave this page open and open the address that the terminal shows then."}
        </p>
        <Show when={waiting().length > 0}>
          <p>Not saved yet, and kept here until then:</p>
          <ul><For each={waiting().slice(-5)}>{(words) => <li>{words}</li>}</For></ul>
        </Show>
      </div>
    </Show>
  );
}

function Notices() {
  return (
    <div class="notices" role="status" aria-live="polite">
      <Away />
      <Show when={mistakes().length > 0}>
        <div class="notice broken">
          <p><b>The files cannot be read just now.</b> {known() ? "What you see is the last good state; it follows as soon as they can be read again." : "The robot shows here as soon as they can be."}</p>
          <ul>
            <For each={mistakes().slice(0, 5)}>
              {(m) => (
                <li>
                  <b>{m.file}{m.line > 0 ? `, line ${m.line}` : ""}</b>: <Said text={m.message} />
                  <Show when={m.help}>{(help) => <> <Said text={help()} /></>}</Show>
                </li>
              )}
            </For>
          </ul>
          <Show when={mistakes().length > 5}><p>And {mistakes().length - 5} more.</p></Show>
        </div>
      </Show>
      <For each={notices()}>
        {(n) => (
          <div class="notice">
            <p><Said text={n.text} /></p>
            <button type="button" class="quiet-button" aria-label="Read" onClick={() => dismiss(n.id)}>×</button>
          </div>
        )}
      </For>
    </div>
  );
}
