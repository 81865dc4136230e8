// Adding what needs little more than a name: a zone, a situation, a loom, a bolt of the board, a kept-out area.

import { For, createMemo, createSignal } from "solid-js";
import type { EditValue, SubjectKind } from "../talk.ts";
import { make, say, situations, study } from "../state/desk.ts";
import { boxOf, middle } from "../board/geometry.ts";
import { freeName, look } from "./bench.ts";

type Kind = Extract<SubjectKind, "zone" | "situation" | "loom" | "board-mount" | "keep-out">;
const WORDS: Record<Kind, string> = {
  zone: "zone", situation: "situation", loom: "loom", "board-mount": "bolt of the board", "keep-out": "kept-out area",
};
const FIRST: Record<Kind, string> = { zone: "zone", situation: "situation", loom: "loom", "board-mount": "mount", "keep-out": "keep-out" };

function names(kind: Kind): Set<string> {
  const lists: Record<Kind, readonly { name: string }[]> = {
    zone: study.zones, situation: situations(), loom: study.looms,
    "board-mount": study.sheet?.mounts ?? [], "keep-out": study.sheet?.keep_outs ?? [],
  };
  return new Set(lists[kind].map((x) => x.name));
}

/** What it must have; the builder moves and changes it from there. */
function keys(kind: Kind): [string, EditValue][] {
  const at = study.sheet ? middle(boxOf(study.sheet.outline)) : ([0, 0] as [number, number]);
  if (kind === "board-mount") return [["at", { point_mm: at }], ["thread", { text: "M5" }]];
  if (kind === "keep-out") return [["at", { point_mm: at }], ["size", { point_mm: [30, 20] }]];
  return [];
}

export function AddOther() {
  const [kind, setKind] = createSignal<Kind>("zone");
  const [own, setOwn] = createSignal<string | null>(null);
  const kinds = createMemo(() => (Object.keys(WORDS) as Kind[]).filter((k) => study.sheet || (k !== "board-mount" && k !== "keep-out")));
  const name = () => own()?.trim() ?? freeName(FIRST[kind()], names(kind()));
  const taken = () => names(kind()).has(name());
  const add = () => {
    const [k, n] = [kind(), name()];
    make(`Add ${n}`, [{ add: { on: { kind: k, name: n }, keys: keys(k) } }], () => names(k).has(n));
    say(`Added ${n}`);
    setOwn(null);
    look({ kind: k, name: n });
  };
  return (
    <div class="fields">
      <label class="field"><span>Add a</span>
        <select value={kind()} onChange={(e) => setKind(e.currentTarget.value as Kind)}>
          <For each={kinds()}>{(k) => <option value={k}>{WORDS[k]}</option>}</For>
        </select>
      </label>
      <label class="field grow"><span>called</span>
        <input value={own() ?? name()} autocomplete="off" spellcheck={false} aria-invalid={taken() || name() === ""} onInput={(e) => setOwn(e.currentTarget.value)} />
      </label>
      <button type="button" disabled={taken() || name() === ""} onClick={add}>Add it</button>
    </div>
  );
}
