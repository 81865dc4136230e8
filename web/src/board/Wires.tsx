// Wires in their insulation's colour, width to scale, with a thin ink edge; looms as their real width.

import { For, Show, createMemo } from "solid-js";
import type { Leg, WireOn } from "../talk.ts";
import { study } from "../state/desk.ts";
import { chosenWire, face, frame, setPointed, shown, situation, through } from "../state/view.ts";
import { heatOf } from "../situations/heat.ts";
import { bentPath } from "./geometry.ts";

const colour = (text: string) => (/^#[0-9a-f]{6}$/iu.test(text) ? text : "currentColor");

export function Wires(props: { far?: boolean }) {
  const wanted = (on: string) => (props.far ? on !== face() : on === face());
  return (
    <Show when={shown().has("wires") && (!props.far || through())}>
      <g class="wires" classList={{ "far-wires": props.far === true }} aria-hidden="true">
        <For each={study.wires}>
          {(wire) => <For each={wire.legs}>{(leg) => <Show when={wanted(leg.face)}><LegView wire={wire} leg={leg} /></Show>}</For>}
        </For>
      </g>
    </Show>
  );
}

function LegView(props: { wire: WireOn; leg: Leg }) {
  const path = createMemo(() => bentPath(props.leg.points, props.leg.radii_mm));
  const wide = () => Math.max(props.wire.outside_mm, 1.5 / frame().k);
  const heat = createMemo(() => {
    const now = situation();
    const row = now?.wires.find((w) => w.name === props.wire.name);
    return now ? (row ? heatOf(row) : "none") : null;
  });
  return (
    <g
      class="wire"
      classList={{ chosen: chosenWire() === props.wire.name, [`heat heat-${heat()}`]: heat() !== null }}
      data-wire={props.wire.name}
      onPointerEnter={() => setPointed(props.wire.name)}
      onPointerLeave={() => setPointed(null)}
    >
      <path class="wire-hit" d={path()} stroke-width={Math.max(wide(), 9 / frame().k)} />
      <path class="wire-edge" d={path()} stroke-width={wide() + (chosenWire() === props.wire.name ? 6 : 1.5) / frame().k} />
      <path class="wire-body" d={path()} stroke={colour(props.wire.colour)} stroke-width={wide()} />
      <Show when={props.wire.stripe !== null && heat() === null}>
        <path
          class="wire-stripe" d={path()} stroke={colour(props.wire.stripe ?? "")} stroke-width={wide() * 0.4}
          stroke-dasharray={`${wide() * 3} ${wide() * 2}`}
        />
      </Show>
    </g>
  );
}

export function Looms(props: { far?: boolean }) {
  const wanted = (on: string) => (props.far ? on !== face() : on === face());
  return (
    <Show when={shown().has("looms") && (!props.far || through())}>
      <g class="looms" classList={{ "far-wires": props.far === true, sheer: situation() !== null }} aria-hidden="true">
        <For each={study.looms}>
          {(loom) => (
            <g class="loom">
              <For each={loom.bodies}>
                {(body) => (
                  <Show when={wanted(body.face)}>
                    <path class="loom-edge" d={bentPath(body.points, body.radii_mm)} stroke-width={body.diameter_mm + 1.5 / frame().k} />
                    <path class="loom-body" d={bentPath(body.points, body.radii_mm)} stroke-width={body.diameter_mm}>
                      <title>{`loom ${loom.name}`}</title>
                    </path>
                  </Show>
                )}
              </For>
              <For each={loom.ties}>
                {(tie) => {
                  const half = () => tie.bundle_mm / 2 + 1;
                  return (
                    <Show when={wanted(tie.face)}>
                      <path
                        class="tie"
                        d={`M0 ${-half()}V${half()}`}
                        transform={`translate(${tie.at_mm[0]} ${tie.at_mm[1]}) rotate(${tie.along_deg})`}
                      />
                    </Show>
                  );
                }}
              </For>
            </g>
          )}
        </For>
      </g>
    </Show>
  );
}
