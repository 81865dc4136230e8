// Where a part stands: on a face of the board, or in a zone of the body.

import { For, Show } from "solid-js";
import type { Edit, EditSubject, EditValue } from "../talk.ts";
import { notice, question, rev, say, study } from "../state/desk.ts";
import { boxOf, middle } from "../board/geometry.ts";
import { tidy } from "../board/snap.ts";

const FACES = ["front", "back"] as const;

/** The changes that put a part elsewhere; what holds only where it was goes. */
export function moveTo(name: string, from: "board" | "zone", to: { face: string } | { zone: string }, at: [number, number]): Edit[] {
  const on: EditSubject = { kind: "part", name };
  const set = (key: string, value: EditValue): Edit => ({ set: { on, key, value } });
  const unset = (key: string): Edit => ({ unset: { on, key } });
  if ("zone" in to) return [...(from === "board" ? ["face", "at", "turn"].map(unset) : []), set("zone", { text: to.zone })];
  if (from === "board") return [set("face", { text: to.face })];
  return [unset("zone"), unset("lead"), set("face", { text: to.face }), set("at", { point_mm: at })];
}

export function Stands(props: { name: string }) {
  const part = () => study.parts.find((p) => p.name === props.name);
  const off = () => study.off_board.find((p) => p.name === props.name);
  const where = () => part() ? `face ${part()!.face}` : off() ? `zone ${off()!.zone}` : "";
  const put = async (to: string) => {
    const zone = to.startsWith("zone ");
    const place = to.slice(5);
    const at = study.sheet ? middle(boxOf(study.sheet.outline)).map(tidy) as [number, number] : ([0, 0] as [number, number]);
    const edits = moveTo(props.name, part() ? "board" : "zone", zone ? { zone: place } : { face: place }, at);
    const words = zone ? `Move ${props.name} into ${place}` : `Move ${props.name} onto the ${place}`;
    const told = await question({ ask: "edit", base: rev(), words, edits });
    if (told.tell === "refused" || told.tell === "conflict") return notice(told.why);
    say(words);
  };
  return (
    <Show when={where() !== ""}>
      <div class="key stands">
        <label for="stands">where it stands</label>
        <select id="stands" onChange={(e) => void put(e.currentTarget.value)}>
          <Show when={study.sheet}><For each={FACES}>{(f) => <option value={`face ${f}`} selected={where() === `face ${f}`}>on the board, {f}</option>}</For></Show>
          <For each={study.zones}>{(z) => <option value={`zone ${z.name}`} selected={where() === `zone ${z.name}`}>in the zone {z.name}</option>}</For>
        </select>
      </div>
    </Show>
  );
}
