// The line on top: which robot, whether it is saved, what can be undone, how you like to read it.

import { For, Match, Show, Switch } from "solid-js";
import { anew, kept, line, mayEdit, redo, study, undo, unsaved, welcome } from "../state/desk.ts";
import { narrow, setThemeChoice, setUnitChoice, theme, themeChoice, unit } from "../state/view.ts";
import type { ThemeChoice } from "../state/view.ts";
import { Drop } from "./Drop.tsx";
import { Phone } from "./Phone.tsx";

export function Top() {
  return (
    <header class="top">
      <h1 title={study.robot?.folder}>{study.robot?.name ?? "Loomdeck"}</h1>
      <State />
      <Show when={mayEdit()}><div class="steps" role="group" aria-label="Steps">
        <button type="button" disabled={kept().undo === null} onClick={undo} title={kept().undo === null ? "Nothing to undo" : `Undo: ${kept().undo}`}>
          <span aria-hidden="true">↶</span><span class="step-name"> Undo</span><Show when={kept().undo !== null && !narrow()}><span class="step-words">{kept().undo}</span></Show>
        </button>
        <button type="button" disabled={kept().redo === null} onClick={redo} title={kept().redo === null ? "Nothing to do again" : `Do again: ${kept().redo}`}>
          <span aria-hidden="true">↷</span><span class="step-name"> Redo</span><Show when={kept().redo !== null && !narrow()}><span class="step-words">{kept().redo}</span></Show>
        </button>
      </div></Show>
      <span class="gap" />
      <Show when={welcome().phones.length > 0}><Phone /></Show>
      <Print />
      <div class="pair" role="group" aria-label="Unit of length">
        <button type="button" aria-pressed={unit() === "mm"} onClick={() => setUnitChoice("mm")}>mm</button>
        <button type="button" aria-pressed={unit() === "inch"} onClick={() => setUnitChoice("inch")}>inch</button>
      </div>
      <label class="field theme">
        <span class="unseen">Colours</span>
        <select value={themeChoice()} onChange={(e) => setThemeChoice(e.currentTarget.value as ThemeChoice)}>
          <option value="system">{narrow() ? "Auto" : `As the system (${theme()})`}</option>
          <option value="paper">Paper</option>
          <option value="slate">Slate</option>
        </select>
      </label>
    </header>
  );
}

const PAPERS: readonly [string, string][] = [
  ["book.pdf", "Build book (PDF)"], ["template.pdf", "Drilling template, full size (PDF)"], ["front.dxf", "Front for the cutter (DXF)"],
  ["back.dxf", "Back for the cutter (DXF)"], ["drill-plan.csv", "Drill plan (table)"], ["cutlist.csv", "Cut list of wires (table)"],
  ["labels.csv", "Labels (table)"], ["fasteners.csv", "Screws (table)"], ["shopping.csv", "Shopping list (table)"],
];

/** What the workshop wants on paper, made of the files as they are. */
function Print() {
  return (
    <Drop words="Print" title="For the workshop">
      <For each={PAPERS}>
        {([name, words]) => <a href={`/paper/${name}`} target="_blank" rel="noopener noreferrer">{words}</a>}
      </For>
    </Drop>
  );
}

function State() {
  return (
    <p class="state" role="status">
      <Switch>
        <Match when={line() === "away"}>
          <span class="warn">◌ No line to the desk{anew() ? ": it wants its new address" : ""}{unsaved() > 0 ? "; what you did is kept here and goes out when it is back" : anew() ? "" : "; joining again"}</span>
        </Match>
        <Match when={line() === "joining"}>◌ Joining …</Match>
        <Match when={welcome().guest && !mayEdit()}><span title="You came over the network. Whoever opened the desk can allow more.">You look and tick off; others change it</span></Match>
        <Match when={!kept().saved}><span class="warn">◌ Not saved{kept().why ? `: ${kept().why}` : ""}</span></Match>
        <Match when={unsaved() > 0}>◌ Saving …</Match>
        <Match when={true}><span class="well">● Saved</span>{kept().why ? ` · ${kept().why}` : ""}</Match>
      </Switch>
    </p>
  );
}
