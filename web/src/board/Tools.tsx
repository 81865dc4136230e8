// The few tools along the upper edge of the board.

import { For, Show } from "solid-js";
import {
  LAYERS, face, gridChoice, groups, setGridChoice, setThrough, setTool, show, shown, through, tool, unit,
} from "../state/view.ts";
import type { GridChoice, Layer } from "../state/view.ts";
import { Faces } from "./Faces.tsx";
import { Drop } from "../shell/Drop.tsx";
import { clearMeasure } from "./measure.ts";

const LAYER_WORDS: Record<Layer, string> = {
  names: "names", wires: "wires", looms: "looms", holes: "holes", heights: "heights", far: "far face, dashed", tags: "findings", bends: "bend room at terminals", reach: "reach of tools and hands",
};

export function Tools(props: { fit: () => void; zoom: (factor: number) => void; help: () => void }) {
  const behind = () => groups().flatMap((g) => g.items).filter((i) => i.finding.spot && i.finding.spot.face !== face()).length;
  return (
    <div class="tools" role="toolbar" aria-label="Board">
      <Faces />
      <Show when={behind() > 0}>
        <span class="behind">{behind()} found on the {face() === "front" ? "back" : "front"}</span>
      </Show>
      <span class="gap" />
      <button type="button" aria-pressed={tool() === "measure"} onClick={() => { clearMeasure(); setTool(tool() === "measure" ? "hand" : "measure"); }}>Measure</button>
      <Drop words="Show" title="On the board">
        <For each={LAYERS}>
          {(layer) => (
            <label><input type="checkbox" checked={shown().has(layer)} onChange={(e) => show(layer, e.currentTarget.checked)} />{LAYER_WORDS[layer]}</label>
          )}
        </For>
        <label><input type="checkbox" checked={through()} onChange={(e) => setThrough(e.currentTarget.checked)} />see through to the far face</label>
        <label class="field"><span>Grid</span>
          <select value={gridChoice()} onChange={(e) => setGridChoice(e.currentTarget.value as GridChoice)}>
            <option value="off">none</option>
            <option value="1">{unit() === "mm" ? "1 mm" : "1/32 in"}</option>
            <option value="5">{unit() === "mm" ? "5 mm" : "1/8 in"}</option>
            <option value="10">{unit() === "mm" ? "10 mm" : "1/4 in"}</option>
          </select>
        </label>
      </Drop>
      <div class="pair" role="group" aria-label="Nearer and farther">
        <button type="button" aria-label="Farther" title="Farther (−)" onClick={() => props.zoom(0.8)}>−</button>
        <button type="button" title="Show the whole board (F)" onClick={() => props.fit()}>Fit</button>
        <button type="button" aria-label="Nearer" title="Nearer (+)" onClick={() => props.zoom(1.25)}>+</button>
      </div>
      <button type="button" class="wide-only" aria-label="Keys" title="Keys (?)" onClick={() => props.help()}>?</button>
    </div>
  );
}
