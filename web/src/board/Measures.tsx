// The measure in words: whole distance, across and up, and between which features.

import { Show } from "solid-js";
import { setTool, unit } from "../state/view.ts";
import { length } from "../words/numbers.ts";
import { distance } from "./geometry.ts";
import { clearMeasure, measured } from "./measure.ts";

export function Measures() {
  return (
    <div class="in-hand" role="group" aria-label="Measure">
      <Show
        when={measured().from}
        fallback={<p>Point at the first feature: a corner, a terminal, a hole or an edge.</p>}
      >
        {(from) => (
          <Show when={measured().to} fallback={<p>From <b>{from().words}</b> to … point at the second feature.</p>}>
            {(to) => (
              <p aria-live="polite">
                <b class="number">{length(distance(from().at, to().at), unit())}</b> from {from().words} to {to().words}:{" "}
                <span class="number">{length(Math.abs(to().at[0] - from().at[0]), unit())}</span> across,{" "}
                <span class="number">{length(Math.abs(to().at[1] - from().at[1]), unit())}</span> up.
              </p>
            )}
          </Show>
        )}
      </Show>
      <button type="button" onClick={() => { clearMeasure(); setTool("hand"); }}>Stop measuring</button>
    </div>
  );
}
