// Parts and plugs: quiet outlines on the near face, dashed and lighter on the far one.

import { For, Show, createMemo } from "solid-js";
import type { PartOn, PlugOn } from "../talk.ts";
import { study } from "../state/desk.ts";
import { held } from "../state/held.ts";
import { chosen, face, frame, pointed, setPointed, shown, through, unit } from "../state/view.ts";
import { length } from "../words/numbers.ts";
import { bentPath, outlinePath } from "./geometry.ts";
import { atOf, carried, turnOf } from "./place.ts";
import { walker } from "./walk.ts";

export function FarParts() {
  return (
    <Show when={shown().has("far") || through()}>
      <g class="far" classList={{ clear: through() }} aria-hidden="true">
        <For each={study.parts}>
          {(part) => (
            <Show when={part.face !== face()}>
              <path class="part-far" d={outlinePath(part.outline)} transform={carried(part)} />
            </Show>
          )}
        </For>
        <For each={study.plugs}>
          {(plug) => (
            <Show when={plug.face !== face()}>
              <path class="part-far" d={outlinePath(plug.outline)} transform={carried(plug)} />
            </Show>
          )}
        </For>
      </g>
    </Show>
  );
}

export function NearParts() {
  return (
    <g class="near">
      <For each={study.plugs}>{(plug) => <Show when={plug.face === face()}><PlugView plug={plug} /></Show>}</For>
      <For each={study.parts}>{(part) => <Show when={part.face === face()}><PartView part={part} /></Show>}</For>
    </g>
  );
}

function PartView(props: { part: PartOn }) {
  const is = createMemo(() => chosen().includes(props.part.name));
  const words = () => {
    const [x, y] = atOf(props.part);
    const turn = turnOf(props.part);
    return `${props.part.name}, ${props.part.title}, at ${length(x, unit())} from the left and ${length(y, unit())} up`
      + (turn === 0 ? "" : `, turned ${turn}°`) + (props.part.movable ? "" : ", cannot be moved here");
  };
  return (
    <g
      class="part"
      classList={{ chosen: is(), held: held().has(props.part.name), pointed: pointed() === props.part.name }}
      data-part={props.part.name}
      data-walk={props.part.name}
      role="button"
      aria-pressed={is()}
      aria-label={words()}
      tabindex={walker() === props.part.name ? 0 : -1}
      transform={carried(props.part)}
      onPointerEnter={() => setPointed(props.part.name)}
      onPointerLeave={() => setPointed(null)}
    >
      <path class="part-outline" d={outlinePath(props.part.outline)} />
      <g class="terminals" aria-hidden="true">
        <For each={props.part.terminals}>
          {(t) => <circle class="terminal" cx={t.at_mm[0]} cy={t.at_mm[1]} r={Math.max(1.2, 1.6 / frame().k)}><title>{`${props.part.name}.${t.name}`}</title></circle>}
        </For>
      </g>
    </g>
  );
}

function PlugView(props: { plug: PlugOn }) {
  const is = createMemo(() => chosen().includes(props.plug.name));
  const words = () => {
    const [x, y] = atOf(props.plug);
    return `${props.plug.name}, plug to ${props.plug.zone}, at ${length(x, unit())} from the left and ${length(y, unit())} up`
      + (props.plug.movable ? "" : ", cannot be moved here");
  };
  return (
    <g
      class="part plug"
      classList={{ chosen: is(), held: held().has(props.plug.name), pointed: pointed() === props.plug.name }}
      data-part={props.plug.name}
      data-walk={props.plug.name}
      role="button"
      aria-pressed={is()}
      aria-label={words()}
      tabindex={walker() === props.plug.name ? 0 : -1}
      transform={carried(props.plug)}
      onPointerEnter={() => setPointed(props.plug.name)}
      onPointerLeave={() => setPointed(null)}
    >
      <Show when={props.plug.tail}>{(tail) => <path class="tail" d={bentPath(tail(), [])} />}</Show>
      <path class="part-outline" d={outlinePath(props.plug.outline)} />
    </g>
  );
}
