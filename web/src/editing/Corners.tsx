// The corners of an outline, or those that a wire must run through, as a small table; what is changed shows on the
// board before it is written.

import { Show, createEffect, createMemo, createSignal, on, onCleanup } from "solid-js";
import type { EditSubject, FieldOn } from "../talk.ts";
import { question, rev, say } from "../state/desk.ts";
import { face, unit } from "../state/view.ts";
import { Said } from "../words/Said.tsx";
import { Points } from "../types/Points.tsx";
import type { Row } from "../types/Points.tsx";
import { joinRows, mmOf, splitRows } from "./corners.ts";
import { setCornersGhost } from "./placing.ts";

export function Corners(props: { on: EditSubject; field: FieldOn }) {
  const faces = () => props.field.corners === "on_faces";
  const saved = createMemo(() => splitRows(props.field.text, faces(), unit() === "mm" ? "mm" : "in"));
  const [rows, setRows] = createSignal<readonly Row[]>(saved().rows);
  const [why, setWhy] = createSignal<string | null>(null);
  createEffect(on(() => props.field.text, () => {
    setRows(saved().rows);
    setWhy(null);
  }, { defer: true }));
  const ghost = createMemo(() => {
    const shown = rows().filter((r) => !faces() || r.face === face());
    const all = shown.map((r) => mmOf(r, saved().unit));
    return joinRows(rows(), saved().unit) === joinRows(saved().rows, saved().unit) || all.length < 2 || all.some((p) => p === null) ? null : all.map((p) => p!);
  });
  createEffect(() => {
    const points = ghost();
    // A part type has a frame of its own, which is nowhere on the board.
    setCornersGhost(points && props.on.kind !== "type" ? { points, closed: !faces() } : null);
  });
  onCleanup(() => setCornersGhost(null));
  const write = async (left: readonly Row[]) => {
    const told = await question({ ask: "field", base: rev(), on: props.on, key: props.field.key, text: joinRows(left, saved().unit) });
    if (told.tell === "refused" || told.tell === "conflict") {
      setWhy(told.why);
      say(told.why);
    } else {
      setWhy(null);
      say(`${props.field.key} is written`);
    }
  };
  const changed = () => joinRows(rows(), saved().unit) !== joinRows(saved().rows, saved().unit);
  const whole = () => rows().every((r) => r.x.trim() !== "" && r.y.trim() !== "");
  return (
    <div class="corners" role="group" aria-label={props.field.key}>
      <p><b>{props.field.key}</b> <span class="quiet">in {saved().unit}. <Said text={props.field.about} /></span></p>
      <Points id={props.field.key} words="corner" rows={rows()} put={setRows} hint={saved().unit} faces={faces()} />
      <Show when={why()}>{(text) => <p class="key-why" role="alert"><Said text={text()} /></p>}</Show>
      <Show when={changed()}>
        <div class="fields">
          <button type="button" class="main" disabled={!whole()} onClick={() => void write(rows())}>Write these corners</button>
          <button type="button" onClick={() => { setRows(saved().rows); setWhy(null); }}>Leave them as they are</button>
        </div>
      </Show>
    </div>
  );
}
