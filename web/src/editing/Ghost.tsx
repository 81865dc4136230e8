// What is being made, over the board: a part on its way, the ends of a wire, an opening in hand.

import { For, Show } from "solid-js";
import type { Pt } from "../talk.ts";
import { face, frame, tool } from "../state/view.ts";
import { toScreen } from "../board/frame.ts";
import { cornersGhost, ghost, placing } from "./placing.ts";
import { chosenPass, handles, inHand, keepPass, openingOf, passNamed } from "./openings.ts";
import type { Opening } from "./openings.ts";
import { from, spotOf, to } from "./wiring.ts";

const path = (points: readonly Pt[]) => `M${points.map((p) => toScreen(frame(), p).join(" ")).join("L")}Z`;

export function Ghost() {
  keepPass();
  return (
    <>
      <Show when={tool() === "place" && placing()}>
        {(p) => (
          <Show when={ghost()}>
            {(at) => {
              const mirror = () => (face() === "front" ? 1 : -1);
              return <path class="ghost" d={path(p().type.outline.map(([x, y]) => [at()[0] + x * mirror(), at()[1] + y] as Pt))} />;
            }}
          </Show>
        )}
      </Show>
      <Show when={tool() === "wire"}>
        <For each={[from(), to()]}>
          {(end) => (
            <Show when={spotOf(end)}>
              {(spot) => {
                const s = () => toScreen(frame(), spot().at);
                return <circle class="measure-spot" cx={s()[0]} cy={s()[1]} r="8" />;
              }}
            </Show>
          )}
        </For>
      </Show>
      <Show when={cornersGhost()}>
        {(c) => (
          <>
            <path class="ghost" classList={{ way: !c().closed }} d={c().closed ? path(c().points) : path(c().points).slice(0, -1)} />
            <For each={c().points}>{(p) => <circle class="measure-spot" cx={toScreen(frame(), p)[0]} cy={toScreen(frame(), p)[1]} r="5" />}</For>
          </>
        )}
      </Show>
      <Show when={inHand()}>{(o) => <path class="ghost" d={path(outlineOf(o()))} />}</Show>
      <Show when={tool() === "hand" && (inHand() ?? (passNamed(chosenPass()) ? openingOf(passNamed(chosenPass())!) : null))}>
        {(o) => (
          <For each={handles(o())}>
            {(h) => {
              const s = () => toScreen(frame(), h.at);
              return <rect class="handle" data-handle={h.handle} x={s()[0] - 7} y={s()[1] - 7} width="14" height="14" />;
            }}
          </For>
        )}
      </Show>
    </>
  );
}

function outlineOf(o: Opening): Pt[] {
  const a = (o.turn * Math.PI) / 180;
  const at = (x: number, y: number): Pt => [o.at[0] + x * Math.cos(a) - y * Math.sin(a), o.at[1] + x * Math.sin(a) + y * Math.cos(a)];
  if (o.round) return Array.from({ length: 32 }, (_, i) => at((o.length / 2) * Math.cos((i * Math.PI) / 16), (o.length / 2) * Math.sin((i * Math.PI) / 16)));
  const [x, y] = [o.length / 2, o.width / 2];
  return [at(x, y), at(-x, y), at(-x, -y), at(x, -y)];
}
