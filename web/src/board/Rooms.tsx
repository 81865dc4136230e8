// The room that wires' bends and tools want, as thin outlines on their face: whole where it is free, hatched
// where something stands in it.

import { For, Show, createMemo } from "solid-js";
import type { RoomWanted } from "../talk.ts";
import { rooms } from "../state/rooms.ts";
import { called } from "../state/things.ts";
import { chosen, face, shown } from "../state/view.ts";
import { outlinePath } from "./geometry.ts";

export function Rooms() {
  return (
    <g class="rooms" aria-hidden="true">
      <Show when={shown().has("bends")}><Layer all={rooms().bends} /></Show>
      <Show when={shown().has("reach")}><Layer all={rooms().reach} /></Show>
    </g>
  );
}

function Layer(props: { all: readonly RoomWanted[] }) {
  // What is blocked lies on top.
  const here = () => props.all.filter((r) => r.face === face()).sort((a, b) => Number(a.by.length > 0) - Number(b.by.length > 0));
  return (
    <For each={here()}>
      {(r) => (
        <path class="room" classList={{ blocked: r.by.length > 0 }} d={r.outlines.map(outlinePath).join("")}>
          <title>{r.by.length > 0 ? `${r.words}; in the way: ${r.by.join(", ")}` : `${r.words}; free`}</title>
        </path>
      )}
    </For>
  );
}

/** What the two layers show, in words: below the board, and for screen readers. */
export function RoomsTold() {
  const count = (all: readonly RoomWanted[]) => {
    const here = all.filter((r) => r.face === face());
    const blocked = here.filter((r) => r.by.length > 0).length;
    return { free: here.length - blocked, blocked };
  };
  /** What stands in the way at the one thing that is chosen. */
  const blocked = createMemo(() => {
    if (chosen().length !== 1) return [];
    const name = called(chosen()[0]!);
    const all = [...(shown().has("bends") ? rooms().bends : []), ...(shown().has("reach") ? rooms().reach : [])];
    return [...new Set(all.filter((r) => r.of === name && r.by.length > 0).map((r) => `${r.words}; in the way: ${r.by.join(", ")}`))];
  });
  return (
    <Show when={shown().has("bends") || shown().has("reach")}>
      <p class="rooms-told" role="status">
        <Show when={shown().has("bends")}><Told what="Bend room" {...count(rooms().bends)} /></Show>
        <Show when={shown().has("reach")}><Told what="Reach" {...count(rooms().reach)} /></Show>
        <For each={blocked().slice(0, 4)}>{(words) => <span>{words}</span>}</For>
      </p>
    </Show>
  );
}

function Told(props: { what: string; free: number; blocked: number }) {
  return <span>{props.what}: <i /> {props.free} free, <i class="blocked" /> {props.blocked} with something in the way</span>;
}
