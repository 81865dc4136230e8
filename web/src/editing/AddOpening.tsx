// A new opening in the sheet: drawn on the board, or said in numbers.

import { For, Show, createSignal, onCleanup, onMount } from "solid-js";
import type { Pt } from "../talk.ts";
import { study } from "../state/desk.ts";
import { narrow, setPhoneSide, setTool, tool, unit } from "../state/view.ts";
import { boxOf, middle } from "../board/geometry.ts";
import { lengthNumber, readLength } from "../words/numbers.ts";
import { putAway } from "./bench.ts";
import { addOpening, setInHand, setShape, shape } from "./openings.ts";
import type { Shape } from "./openings.ts";

const SHAPES: readonly [Shape, string][] = [["round", "round"], ["slot", "slot with round ends"], ["rectangle", "rectangle"]];

export function AddOpening() {
  onMount(() => setTool("pass"));
  onCleanup(() => {
    setInHand(null);
    if (tool() === "pass") setTool("hand");
  });
  const start = study.sheet ? middle(boxOf(study.sheet.outline)) : ([0, 0] as Pt);
  const text = (mm: number) => lengthNumber(mm, unit());
  const [x, setX] = createSignal(text(start[0]));
  const [y, setY] = createSignal(text(start[1]));
  const [long, setLong] = createSignal(text(30));
  const [wide, setWide] = createSignal(text(15));
  const mm = (t: string) => readLength(t, unit());
  const size = (t: string) => {
    const v = mm(t);
    return v !== null && v >= 1 && v <= 1000 ? v : null;
  };
  const bad = () => mm(x()) === null || mm(y()) === null || size(long()) === null || (shape() !== "round" && size(wide()) === null);
  const cut = () => {
    const [l, w] = [size(long())!, shape() === "round" ? size(long())! : size(wide())!];
    const at: Pt = [mm(x())!, mm(y())!];
    addOpening({ at, length: Math.max(l, w), width: Math.min(l, w), turn: w > l ? 90 : 0, round: shape() === "round" });
  };
  return (
    <section class="thing" data-making aria-label="Cut an opening">
      <div class="thing-head">
        <h3 tabindex="-1">Cut an opening</h3>
        <button type="button" class="quiet-button" aria-label="Close" onClick={putAway}>×</button>
      </div>
      <Show when={study.sheet} fallback={<p class="empty">There is no board yet to cut it into.</p>}>
        <p class="quiet">Wires change face through it.</p>
        <fieldset class="shapes">
          <legend>Shape</legend>
          <For each={SHAPES}>
            {([s, words]) => <label><input type="radio" name="shape" checked={shape() === s} onChange={() => setShape(s)} /> {words}</label>}
          </For>
        </fieldset>
        <p>{shape() === "round" ? "Draw on the board from its middle outwards" : "Draw on the board from corner to corner"}<Show when={narrow()}> (<button type="button" class="link" onClick={() => { setTool("pass"); setPhoneSide("board"); }}>to the board</button>)</Show>, or say it in numbers:</p>
        <div class="fields">
          <Num words="x" value={x()} put={setX} bad={mm(x()) === null} />
          <Num words="y" value={y()} put={setY} bad={mm(y()) === null} />
          <Num words={shape() === "round" ? "diameter" : "length"} value={long()} put={setLong} bad={size(long()) === null} />
          <Show when={shape() !== "round"}><Num words="width" value={wide()} put={setWide} bad={size(wide()) === null} /></Show>
          <button type="button" class="main" disabled={bad()} onClick={cut}>Cut it</button>
        </div>
      </Show>
    </section>
  );
}

function Num(props: { words: string; value: string; put: (t: string) => void; bad: boolean }) {
  return (
    <label class="field"><span>{props.words}</span>
      <input size="6" inputmode="decimal" value={props.value} aria-invalid={props.bad} onInput={(e) => props.put(e.currentTarget.value)} />
      <span class="quiet">{unit() === "mm" ? "mm" : "in"}</span>
    </label>
  );
}
