// Adding what is no part and no wire: a zone, a situation, a loom, a cable, a plug, a bolt of the board, a kept-out
// area, or the board itself. Each is asked for the keys that it must have.

import { For, createMemo, createSignal } from "solid-js";
import type { SubjectKind } from "../talk.ts";
import { situations, study } from "../state/desk.ts";
import { freeName, partNames } from "./bench.ts";
import { NewFields } from "./NewThing.tsx";

type Kind = Extract<SubjectKind, "zone" | "situation" | "loom" | "cable" | "plug" | "board-mount" | "keep-out">;
const WORDS: Record<Kind, string> = {
  zone: "zone", situation: "situation", loom: "loom", cable: "cable", plug: "plug", "board-mount": "bolt of the board", "keep-out": "kept-out area",
};
const FIRST: Record<Kind, string> = {
  zone: "zone", situation: "situation", loom: "loom", cable: "cable", plug: "plug", "board-mount": "mount", "keep-out": "keep-out",
};

function names(kind: Kind): Set<string> {
  // Parts and plugs share one set of names.
  if (kind === "plug") return partNames();
  const lists: Record<Exclude<Kind, "plug">, readonly { name: string }[]> = {
    zone: study.zones, situation: situations(), loom: study.looms, cable: (study.robot?.cables ?? []).map((name) => ({ name })),
    "board-mount": study.sheet?.mounts ?? [], "keep-out": study.sheet?.keep_outs ?? [],
  };
  return new Set(lists[kind].map((x) => x.name));
}

export function AddOther() {
  const [kind, setKind] = createSignal<Kind>("zone");
  const [own, setOwn] = createSignal<string | null>(null);
  const kinds = createMemo(() => (Object.keys(WORDS) as Kind[]).filter((k) => study.sheet || !["board-mount", "keep-out", "plug"].includes(k)));
  const name = () => own()?.trim() ?? freeName(FIRST[kind()], names(kind()));
  const bad = () => names(kind()).has(name()) || name() === "";
  return (
    <div class="add-other">
      <div class="fields">
        <label class="field"><span>Add a</span>
          <select value={kind()} onChange={(e) => setKind(e.currentTarget.value as Kind)}>
            <For each={kinds()}>{(k) => <option value={k}>{WORDS[k]}</option>}</For>
          </select>
        </label>
        <label class="field grow"><span>called</span>
          <input value={own() ?? name()} autocomplete="off" spellcheck={false} aria-invalid={bad()} onInput={(e) => setOwn(e.currentTarget.value)} />
        </label>
      </div>
      <NewFields kind={kind()} name={name()} bad={bad()} words="Add it" done={() => setOwn(null)} />
    </div>
  );
}
