// The sheet itself: its outline, openings, mounts, kept-out areas and holes.

import { For, Show, createMemo } from "solid-js";
import type { KeepOutOn, MountOn, PassOn } from "../talk.ts";
import { chosenPass } from "../editing/openings.ts";
import { study } from "../state/desk.ts";
import { ofArea, ofMount, passKey } from "../state/things.ts";
import { chosen, face, frame, shown, unit } from "../state/view.ts";
import { length } from "../words/numbers.ts";
import { outlinePath } from "./geometry.ts";
import { atOf, carried } from "./place.ts";
import { walker } from "./walk.ts";

export function SheetView() {
  return (
    <Show when={study.sheet}>
      {(sheet) => (
        <g class="sheet">
          <path class="sheet-face" d={outlinePath(sheet().outline)} />
          <For each={sheet().keep_outs}>
            {(area) => <Show when={area.face === "both" || area.face === face()}><Area area={area} /></Show>}
          </For>
          <For each={sheet().passes}>{(pass) => <Opening pass={pass} />}</For>
          <For each={sheet().mounts}>{(mount) => <Bolt mount={mount} />}</For>
        </g>
      )}
    </Show>
  );
}

const place = ([x, y]: readonly [number, number]) => `${length(x, unit())} from the left and ${length(y, unit())} up`;

function Area(props: { area: KeepOutOn }) {
  const thing = () => ofArea(props.area);
  return (
    <g
      class="area" classList={{ chosen: chosen().includes(thing().name) }} data-part={thing().name} data-walk={thing().name}
      role="button" aria-pressed={chosen().includes(thing().name)} tabindex={walker() === thing().name ? 0 : -1}
      aria-label={`${props.area.name}, kept-out area, at ${place(atOf(thing()))}${thing().movable ? "" : ", cannot be moved here"}`}
      transform={carried(thing())}
    >
      <path class="keep-out" d={outlinePath(props.area.outline)}><title>{`Keep out: ${props.area.name}`}</title></path>
    </g>
  );
}

function Opening(props: { pass: PassOn }) {
  const key = () => passKey(props.pass.name);
  return (
    <path
      class="opening pass" classList={{ chosen: chosenPass() === props.pass.name }} data-pass={props.pass.name} data-walk={key()}
      role="button" aria-pressed={chosenPass() === props.pass.name} tabindex={walker() === key() ? 0 : -1}
      aria-label={`${props.pass.name}, opening, at ${place(props.pass.at_mm)}`} d={outlinePath(props.pass.outline)}
    >
      <title>{`${props.pass.name}: opening${props.pass.fill > 0 ? `, ${Math.round(props.pass.fill * 100)} % filled` : ""}`}</title>
    </path>
  );
}

function Bolt(props: { mount: MountOn }) {
  const m = () => props.mount;
  const thing = () => ofMount(m());
  return (
    <g
      class="bolt" classList={{ chosen: chosen().includes(thing().name) }} data-part={thing().name} data-walk={thing().name}
      role="button" aria-pressed={chosen().includes(thing().name)} tabindex={walker() === thing().name ? 0 : -1}
      aria-label={`${m().name}, bolt that holds the board, at ${place(atOf(thing()))}`}
      transform={carried(thing())}
    >
      <circle class="bolt-hit" cx={m().at_mm[0]} cy={m().at_mm[1]} r={Math.max(m().diameter_mm, 11 / frame().k)} />
      <circle class="opening" cx={m().at_mm[0]} cy={m().at_mm[1]} r={Math.max(m().diameter_mm, 3) / 2}><title>{m().name}</title></circle>
      <path
        class="cross"
        d={`M${m().at_mm[0] - m().diameter_mm} ${m().at_mm[1]}h${2 * m().diameter_mm}M${m().at_mm[0]} ${m().at_mm[1] - m().diameter_mm}v${2 * m().diameter_mm}`}
      />
    </g>
  );
}

/** Drilled holes, drawn over the parts because that is where the screws are. */
export function HolesView() {
  const drilled = createMemo(() => {
    const drawn = new Set([...(study.sheet?.passes ?? []), ...(study.sheet?.mounts ?? [])].map((x) => x.name));
    return (study.sheet?.holes ?? []).filter((h) => !drawn.has(h.of));
  });
  return (
    <Show when={shown().has("holes")}>
      <g class="holes">
        <For each={drilled()}>
          {(hole) => {
            const long = () => Math.hypot(hole.to_mm[0] - hole.from_mm[0], hole.to_mm[1] - hole.from_mm[1]) > 0.05;
            return (
              <Show
                when={long()}
                fallback={<circle class="hole" cx={hole.from_mm[0]} cy={hole.from_mm[1]} r={Math.max(hole.diameter_mm / 2, 0.8 / frame().k)} />}
              >
                <path class="slot" d={`M${hole.from_mm[0]} ${hole.from_mm[1]}L${hole.to_mm[0]} ${hole.to_mm[1]}`} stroke-width={hole.diameter_mm} />
                <path class="slot within" d={`M${hole.from_mm[0]} ${hole.from_mm[1]}L${hole.to_mm[0]} ${hole.to_mm[1]}`} stroke-width={Math.max(hole.diameter_mm - 1.4 / frame().k, 0)} />
              </Show>
            );
          }}
        </For>
      </g>
    </Show>
  );
}
