// The sheet itself: its outline, openings, mounts, kept-out areas and holes.

import { For, Show, createMemo } from "solid-js";
import { chosenPass } from "../editing/openings.ts";
import { face, frame, shown } from "../state/view.ts";
import { study } from "../state/desk.ts";
import { outlinePath } from "./geometry.ts";

export function SheetView() {
  return (
    <Show when={study.sheet}>
      {(sheet) => (
        <g class="sheet">
          <path class="sheet-face" d={outlinePath(sheet().outline)} />
          <For each={sheet().keep_outs}>
            {(area) => (
              <Show when={area.face === "both" || area.face === face()}>
                <path class="keep-out" d={outlinePath(area.outline)}>
                  <title>{`Keep out: ${area.name}`}</title>
                </path>
              </Show>
            )}
          </For>
          <For each={sheet().passes}>
            {(pass) => (
              <path class="opening pass" classList={{ chosen: chosenPass() === pass.name }} data-pass={pass.name} d={outlinePath(pass.outline)}>
                <title>{`${pass.name}: opening${pass.fill > 0 ? `, ${Math.round(pass.fill * 100)} % filled` : ""}`}</title>
              </path>
            )}
          </For>
          <For each={sheet().mounts}>
            {(mount) => (
              <g>
                <circle class="opening" cx={mount.at_mm[0]} cy={mount.at_mm[1]} r={Math.max(mount.diameter_mm, 3) / 2}>
                  <title>{mount.name}</title>
                </circle>
                <path
                  class="cross"
                  d={`M${mount.at_mm[0] - mount.diameter_mm} ${mount.at_mm[1]}h${2 * mount.diameter_mm}M${mount.at_mm[0]} ${mount.at_mm[1] - mount.diameter_mm}v${2 * mount.diameter_mm}`}
                />
              </g>
            )}
          </For>
        </g>
      )}
    </Show>
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
