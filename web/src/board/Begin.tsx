// What could be where there is nothing yet, and how to begin.

import { For, createSignal } from "solid-js";
import { make, study } from "../state/desk.ts";
import { choose, narrow, setPage, setPhoneSide, unit } from "../state/view.ts";
import { lengthNumber, readLength } from "../words/numbers.ts";
import { begin } from "../editing/bench.ts";
import { startTour } from "../shell/tour.ts";

/** Materials of sheets that the program knows, by their word in the files. */
const MATERIALS = ["hdpe", "plywood", "acrylic", "abs", "polycarbonate", "aluminium"] as const;

export function NoBoard() {
  const inch = () => unit() === "inch";
  const start = (mm: number, inches: number) => lengthNumber(inch() ? inches * 25.4 : mm, unit());
  let wide!: HTMLInputElement;
  let high!: HTMLInputElement;
  let thick!: HTMLInputElement;
  let material!: HTMLSelectElement;
  const [why, setWhy] = createSignal("");
  const give = (e: SubmitEvent) => {
    e.preventDefault();
    const mm = [wide, high, thick].map((input) => {
      const value = readLength(input.value, unit());
      const fits = value !== null && value > 0 && value <= 5000;
      input.setAttribute("aria-invalid", String(!fits));
      return fits ? Math.round(value * 1000) / 1000 : null;
    });
    const [w, h, t] = mm;
    if (w == null || h == null || t == null) {
      setWhy("Width, height and thickness are lengths above nothing and below 5 m.");
      return;
    }
    setWhy("");
    make("Give the robot a board", [{
      add: { on: { kind: "board" }, keys: [["size", { point_mm: [w, h] }], ["thickness", { length_mm: t }], ["material", { text: material.value }]] },
    }], () => study.sheet !== null);
  };
  return (
    <div class="empty-board">
      <h2>This robot has no board yet</h2>
      <p>The board is the sheet that carries batteries, fuses, drivers and wires. Say how large it is; everything else goes on it, and you can change it at any time.</p>
      <form class="fields begin" onSubmit={give}>
        <label class="field"><span>width</span><input ref={wide} inputmode="decimal" size="6" value={start(400, 16)} /><span class="quiet">{inch() ? "in" : "mm"}</span></label>
        <label class="field"><span>height</span><input ref={high} inputmode="decimal" size="6" value={start(300, 12)} /><span class="quiet">{inch() ? "in" : "mm"}</span></label>
        <label class="field"><span>thickness</span><input ref={thick} inputmode="decimal" size="5" value={start(9, 0.375)} /><span class="quiet">{inch() ? "in" : "mm"}</span></label>
        <label class="field"><span>of</span><select ref={material}><For each={MATERIALS}>{(m) => <option value={m} selected={m === "plywood"}>{m}</option>}</For></select></label>
        <button type="submit" class="main">Give it a board</button>
      </form>
      <p role="alert">{why()}</p>
      <p>Or write it into the robot's files; it shows here as soon as you save:</p>
      <pre tabindex="0">{"[board]\nsize_mm = [400, 300]\nthickness_mm = 9\nmaterial = \"plywood\""}</pre>
      <Others />
    </div>
  );
}

export function NoParts() {
  return (
    <div class="begin-parts">
      <h2>Nothing is on the board yet</h2>
      <p>Begin with the battery's fuse, then what it feeds. Each part has a name, a type from the library, a face and a place:</p>
      <div class="fields"><button type="button" class="main" onClick={() => begin("part")}>Add a part</button></div>
      <p>Or write it into the files; it shows here as soon as you save, and you drag it where you want it:</p>
      <pre tabindex="0">{"[[part]]\nname = \"main-fuse\"\ntype = \"…\"\nface = \"front\"\nat_mm = [100, 80]"}</pre>
      <Others />
    </div>
  );
}

function Others() {
  return (
    <div class="fields">
      <button type="button" onClick={() => { choose([]); setPage("findings"); setPhoneSide("words"); }}>{narrow() ? "Read what was found so far" : "What was found so far"}</button>
      <button type="button" onClick={startTour}>Show me round</button>
    </div>
  );
}
