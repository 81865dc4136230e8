// Taking a thing out, with the wires that hang on it when you say so.

import { Show, createEffect, createSignal, on } from "solid-js";
import type { EditSubject } from "../talk.ts";
import { notice, question, rev, say, study } from "../state/desk.ts";
import { choose, chooseWire } from "../state/view.ts";
import { listed } from "../words/say.ts";
import { bench, putAway } from "./bench.ts";

/** Wires that end at a part or plug. */
export function hanging(on: EditSubject): string[] {
  if (on.kind !== "part" && on.kind !== "plug") return [];
  const at = (end: string) => end.startsWith(`${on.name}.`);
  return study.wires.filter((w) => at(w.from) || at(w.to)).map((w) => w.name);
}

export async function remove(on: EditSubject, withWires: boolean): Promise<void> {
  const told = await question({ ask: "take_out", base: rev(), on, with_wires: withWires });
  if (told.tell === "refused" || told.tell === "conflict") return notice(told.why);
  say(`Removed ${on.name}`);
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
        fallback={<button type="button" onClick={() => {
          if (wires().length > 0) setAsking(true);
          else void remove(props.on, false);
        }}>Remove {props.on.name}</button>}
      >
        <p role="alert">{wires().length === 1 ? "A wire hangs" : `${wires().length} wires hang`} on it: {listed(wires(), 6)}.</p>
        <button type="button" onClick={() => void remove(props.on, true)}>Remove it with {wires().length === 1 ? "that wire" : "them"}</button>
        <button type="button" onClick={() => setAsking(false)}>Keep it</button>
      </Show>
    </div>
  );
}
