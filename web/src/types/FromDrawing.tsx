// The outline of a part from a DXF file: read in the page, looked over, and taken into the form.

import { For, Show, batch, createMemo, createSignal } from "solid-js";
import { say } from "../state/desk.ts";
import { unit } from "../state/view.ts";
import { lengthNumber } from "../words/numbers.ts";
import { setDraft } from "./draft.ts";
import { LARGEST, footprintOf, readDxf } from "./dxf.ts";
import type { Drawing, Footprint } from "./dxf.ts";
import { measure } from "./trace.ts";

const UNITS: readonly [number, string][] = [[1, "millimetres"], [10, "centimetres"], [25.4, "inches"], [1000, "metres"]];

export function FromDrawing() {
  const [read, setRead] = createSignal<Drawing | null>(null);
  const [why, setWhy] = createSignal<string | null>(null);
  const [per, setPer] = createSignal<number | null>(null);
  const [which, setWhich] = createSignal(0);
  const foot = createMemo(() => {
    const [d, mm] = [read(), per()];
    return d && mm !== null ? footprintOf(d, mm) : null;
  });
  const pick = async (input: HTMLInputElement) => {
    const picked = input.files?.[0];
    if (!picked) return;
    const told = picked.size > LARGEST ? `This file has more than ${LARGEST / 1e6} MB. Save the outline of the one part alone.` : readDxf(await picked.text());
    batch(() => {
      setRead(typeof told === "string" ? null : told);
      setWhy(typeof told === "string" ? told : null);
      setPer(typeof told === "string" ? null : told.mmPerUnit);
      setWhich(0);
    });
  };
  return (
    <div class="from-file">
      <label class="field grow"><span>From a drawing (DXF)</span><input type="file" accept=".dxf" onChange={(e) => void pick(e.currentTarget)} /></label>
      <Show when={why()}>{(w) => <p class="key-why" role="alert">{w()}</p>}</Show>
      <Show when={read()}>
        {(d) => (
          <>
            <Show when={d().mmPerUnit === null}>
              <fieldset class="shapes">
                <legend>The file does not say its unit. The drawing is in</legend>
                <For each={UNITS}>
                  {([mm, words]) => <label><input type="radio" name="dxf-unit" checked={per() === mm} onChange={() => setPer(mm)} /> {words}: {sizeOf(footprintOf(d(), mm))}</label>}
                </For>
              </fieldset>
            </Show>
            <Show when={foot()}>
              {(f) => (
                <>
                  <p role="status">{f().round !== null ? "A round outline" : f().rectangle ? "A rectangle" : `An outline of ${f().corners.length} corners`}, {sizeOf(f())}.</p>
                  <Show when={f().holes.length > 0} fallback={<p class="quiet">No circles in it: type the holes.</p>}>
                    <label class="field"><span>mounting holes</span>
                      <select value={which()} onChange={(e) => setWhich(Number(e.currentTarget.value))}>
                        <For each={f().holes}>{(h, i) => <option value={i()}>{h.at.length} × {lengthNumber(h.diameter, unit())} {unit() === "mm" ? "mm" : "in"}</option>}</For>
                        <option value={-1}>none of the circles</option>
                      </select>
                    </label>
                  </Show>
                  <Show when={f().left.length > 0}><p class="quiet">Not taken: {f().left.join(", ")}.</p></Show>
                  <div class="fields"><button type="button" onClick={() => { take(f(), which()); setRead(null); }}>Take it into the form</button></div>
                </>
              )}
            </Show>
          </>
        )}
      </Show>
    </div>
  );
}

function sizeOf(f: Footprint): string {
  const u = unit() === "mm" ? "mm" : "in";
  if (f.round !== null) return `${lengthNumber(f.round, unit())} ${u} across`;
  const [w, h] = [Math.max(...f.corners.map((p) => p[0])), Math.max(...f.corners.map((p) => p[1]))];
  return `${lengthNumber(w, unit())} by ${lengthNumber(h, unit())} ${u}`;
}

function take(f: Footprint, which: number): void {
  // A file's numbers are kept to a thousandth: they were drawn, not measured.
  const mm = (x: number) => `${x} mm`;
  batch(() => {
    if (f.round !== null) {
      setDraft("shape", "round");
      setDraft("values", "diameter", mm(f.round));
    } else if (f.rectangle) {
      setDraft("shape", "rectangle");
      setDraft("values", "width", mm(f.rectangle[0]));
      setDraft("values", "depth", mm(f.rectangle[1]));
    } else {
      setDraft("shape", "corners");
      setDraft("corners", f.corners.map(([x, y]) => ({ x: mm(x), y: mm(y) })));
    }
    const group = f.holes[which];
    if (group) {
      setDraft("values", "pattern", "");
      setDraft("holes", group.at.map(([x, y]) => ({ x: mm(x), y: mm(y) })));
      setDraft("values", "hole_diameter", measure(group.diameter, "mm"));
    }
  });
  say("The drawing is in the form");
}
