// Taking a thing out, with the wires that hang on it when you say so.

import { Show, createEffect, createSignal, on } from "solid-js";
import type { Edit, EditSubject } from "../talk.ts";
import { make, study } from "../state/desk.ts";
import { choose, chooseWire } from "../state/view.ts";
import { listed, plural } from "../words/say.ts";
import { bench, putAway } from "./bench.ts";

/** Wires that end at a part or plug. */
export function hanging(on: EditSubject): string[] {
  if (on.kind !== "part" && on.kind !== "plug") return [];
  const at = (end: string) => end.startsWith(`${on.name}.`);
  return study.wires.filter((w) => at(w.from) || at(w.to)).map((w) => w.name);
}

function there(on: EditSubject): boolean {
  const lists: Partial<Record<EditSubject["kind"], readonly { name: string }[]>> = {
    part: [...study.parts, ...study.off_board], plug: study.plugs, wire: study.wires, pass: study.sheet?.passes ?? [],
    "board-mount": study.sheet?.mounts ?? [], "keep-out": study.sheet?.keep_outs ?? [], zone: study.zones,
  };
  return (lists[on.kind] ?? []).some((x) => x.name === on.name);
}

export function remove(on: EditSubject, wires: readonly string[]): void {
  const edits: Edit[] = [...wires.map((name) => ({ remove: { on: { kind: "wire" as const, name } } })), { remove: { on } }];
  make(wires.length > 0 ? `Remove ${on.name} with ${plural(wires.length, "wire")}` : `Remove ${on.name}`, edits, () => !there(on));
  choose([]);
  chooseWire(null);
  const now = bench();
  if (now && "on" in now) putAway();
}

export function Remove(props: { on: EditSubject }) {
  const [asking, setAsking] = createSignal(false);
  const wires = () => hanging(props.on);
  createEffect(on(() => props.on.name, () => setAsking(false)));
  return (
    <div class="fields remove">
      <Show
        when={asking() && wires().length > 0}
        fallback={<button type="button" onClick={() => (wires().length > 0 ? setAsking(true) : remove(props.on, []))}>Remove {props.on.name}</button>}
      >
        <p role="alert">{wires().length === 1 ? "A wire hangs" : `${wires().length} wires hang`} on it: {listed(wires(), 6)}.</p>
        <button type="button" onClick={() => remove(props.on, wires())}>Remove it with {wires().length === 1 ? "that wire" : "them"}</button>
        <button type="button" onClick={() => setAsking(false)}>Keep it</button>
      </Show>
    </div>
  );
}
