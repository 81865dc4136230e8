// What lies over the drawing while you work: lines of rest, the rubber band, a measure.

import { Show } from "solid-js";
import { Ghost } from "../editing/Ghost.tsx";
import { frame, tool, unit } from "../state/view.ts";
import { length } from "../words/numbers.ts";
import { toScreen } from "./frame.ts";
import { guides } from "./carrying.ts";
import { distance } from "./geometry.ts";
import { between } from "./between.ts";
import { measured } from "./measure.ts";
import { band } from "./pointer.ts";

export function Over() {
  return (
    <g class="over" aria-hidden="true">
      <Show when={guides().x}>
        {(rest) => {
          const x = () => toScreen(frame(), [rest().at, 0])[0];
          return (
            <>
              <path class="guide" d={`M${x()} 0V${frame().h}`} />
              <text class="guide-text" x={x() + 6} y="62">{`${rest().what} of ${rest().of}`}</text>
            </>
          );
        }}
      </Show>
      <Show when={guides().y}>
        {(rest) => {
          const y = () => toScreen(frame(), [0, rest().at])[1];
          return (
            <>
              <path class="guide" d={`M0 ${y()}H${frame().w}`} />
              <text class="guide-text" x={frame().w - 12} y={y() - 6} text-anchor="end">{`${rest().what} of ${rest().of}`}</text>
            </>
          );
        }}
      </Show>
      <Show when={band()}>
        {(b) => <rect class="band" x={b().x0} y={b().y0} width={b().x1 - b().x0} height={b().y1 - b().y0} />}
      </Show>
      <Ghost />
      <Show when={tool() === "measure"}>
        <Measure />
      </Show>
    </g>
  );
}

function Measure() {
  const to = () => measured().to ?? (measured().from ? measured().near : null);
  return (
    <>
      <Show when={measured().near}>
        {(near) => {
          const s = () => toScreen(frame(), near().at);
          return <circle class="measure-spot" cx={s()[0]} cy={s()[1]} r="5" />;
        }}
      </Show>
      <Show when={measured().from}>
        {(from) => {
          const ends = () => (to() ? between(from(), to()!) : { from: from().at, to: from().at });
          const a = () => toScreen(frame(), ends().from);
          return (
            <>
              <circle class="measure-spot" cx={a()[0]} cy={a()[1]} r="5" />
              <Show when={to()}>
                {(_) => {
                  const b = () => toScreen(frame(), ends().to);
                  const text = () => length(distance(ends().from, ends().to), unit());
                  return (
                    <>
                      <path class="measure-across" d={`M${a()[0]} ${a()[1]}H${b()[0]}V${b()[1]}`} />
                      <path class="measure-line" d={`M${a()[0]} ${a()[1]}L${b()[0]} ${b()[1]}`} />
                      <circle class="measure-spot" cx={b()[0]} cy={b()[1]} r="5" />
                      <text class="measure-text" x={(a()[0] + b()[0]) / 2} y={(a()[1] + b()[1]) / 2 - 8} text-anchor="middle">{text()}</text>
                    </>
                  );
                }}
              </Show>
            </>
          );
        }}
      </Show>
    </>
  );
}
