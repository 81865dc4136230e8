// What can be done with what is chosen: read and change its keys, have a second one like it, take it out.

import { Show, createEffect, createSignal, on } from "solid-js";
import type { EditSubject, Pt } from "../talk.ts";
import { mayEdit, notice, question, rev, say, study } from "../state/desk.ts";
import { choose } from "../state/view.ts";
import { boxOf } from "../board/geometry.ts";
import { tidy } from "../board/snap.ts";
import { freeName, look, partNames } from "./bench.ts";
import { Remove } from "./Remove.tsx";

/** A second part like this one, beside it where the board has room. */
export async function twin(of: string): Promise<void> {
  const name = freeName(of, partNames());
  const part = study.parts.find((p) => p.name === of);
  const at = part ? beside(part.outline, part.at_mm) : undefined;
  const told = await question({ ask: "twin", base: rev(), of, name, ...(at ? { at_mm: at } : {}) });
  if (told.tell === "refused" || told.tell === "conflict") return notice(told.why);
  say(`Added ${name}, like ${of}`);
  if (part) choose([name]);
}

function beside(outline: readonly Pt[], at: Pt): Pt {
  const box = boxOf(outline);
  const sheet = study.sheet ? boxOf(study.sheet.outline) : null;
  const [w, h] = [box.x1 - box.x0 + 5, box.y1 - box.y0 + 5];
  const ways: Pt[] = [[w, 0], [0, -h], [-w, 0], [0, h]];
  const fits = ways.find(([dx, dy]) => !sheet || (box.x0 + dx >= sheet.x0 && box.x1 + dx <= sheet.x1 && box.y0 + dy >= sheet.y0 && box.y1 + dy <= sheet.y1));
  const [dx, dy] = fits ?? [10, -10];
  return [tidy(at[0] + dx), tidy(at[1] + dy)];
}

export function Doing(props: { on: EditSubject }) {
  const [removing, setRemoving] = createSignal(false);
  createEffect(on(() => props.on.name, () => setRemoving(false)));
  return (
    <div class="fields">
      <button type="button" onClick={() => look(props.on)} title="All keys of it (E)">All about it</button>
      <Show when={props.on.kind === "part" && mayEdit()}><button type="button" onClick={() => void twin(props.on.name!)}>Duplicate</button></Show>
      <Show when={mayEdit()}>
        <Show when={removing()} fallback={<button type="button" onClick={() => setRemoving(true)}>Remove …</button>}><Remove on={props.on} /></Show>
      </Show>
    </div>
  );
}
