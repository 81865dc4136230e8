// A plot beside the tables: what each wire carries in every situation, a day, what a fuse does, what goes wrong.

import { For, Show, createMemo, createSignal } from "solid-js";
import { plots, rev, sliding } from "../state/desk.ts";
import { Pictured } from "../drawn/Drawn.tsx";

const [wanted, setWanted] = createSignal("");

export function Plots() {
  const here = createMemo(() => plots().find((p) => p.name === wanted()));
  let version = 0;
  const of = createMemo(() => {
    plots();
    return `${rev()} ${++version}`;
  });
  return (
    <Show when={plots().length > 0}>
      <div class="plots">
        <label class="field grow">
          <span>Plot</span>
          <select value={here() ? wanted() : ""} onChange={(e) => setWanted(e.currentTarget.value)}>
            <option value="">none</option>
            <For each={plots()}>{(p) => <option value={p.name}>{p.title}</option>}</For>
          </select>
        </label>
        <Show when={here()}>
          {(p) => (
            <>
              <Show when={sliding()}><p class="quiet">Drawn of what the files say, not of “what if”.</p></Show>
              <Pictured name={`plot-${p().name}`} of={of()} words={p().title} />
            </>
          )}
        </Show>
      </div>
    </Show>
  );
}
