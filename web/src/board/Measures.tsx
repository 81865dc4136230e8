// The measure in words: whole distance, across and up, and between which features.

import { Show } from "solid-js";
import { setTool, unit } from "../state/view.ts";
import { length } from "../words/numbers.ts";
import { distance } from "./geometry.ts";
import { between } from "./between.ts";
import { clearMeasure, measured } from "./measure.ts";

export function Measures() {
  return (
    <div class="in-hand" role="group" aria-label="Measure">
      <Show
        when={measured().from}
        fallback={<p>Point at the first feature: a corner, an edge, a terminal, a hole, an opening. Or by arrows and Enter.<Near /></p>}
      >
        {(from) => (
          <Show when={measured().to} fallback={<p>From <b>{from().words}</b> to … point at the second feature.<Near /></p>}>
            {(to) => {
              const ends = () => between(from(), to());
              const apart = (axis: 0 | 1) => length(Math.abs(ends().to[axis] - ends().from[axis]), unit());
              return (
                <p aria-live="polite">
                  <b class="number">{length(distance(ends().from, ends().to), unit())}</b> from {from().words} to {to().words}:{" "}
                  <span class="number">{apart(0)}</span> across, <span class="number">{apart(1)}</span> up.
                </p>
              );
            }}
          </Show>
        )}
      </Show>
      <button type="button" onClick={() => { clearMeasure(); setTool("hand"); }}>Stop measuring</button>
    </div>
  );
}

function Near() {
  return <Show when={measured().near}>{(near) => <span class="quiet"> Here: {near().words}.</span>}</Show>;
}
