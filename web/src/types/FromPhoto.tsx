// A part traced from a photo. The photo stays in the page: it is drawn on a canvas and goes nowhere.

import { For, Show, createSignal } from "solid-js";
import { unit } from "../state/view.ts";
import { lengthNumber } from "../words/numbers.ts";
import { draft, ends, fit, known, knownMm, photo, placed, runs, setKnown, setPhoto, setPlaced, setRuns, setStep, step, takeLastSpot } from "./draft.ts";
import type { Runs } from "./trace.ts";

const LARGEST = 40_000_000;
/** Pixels along the longer side that are kept: finer than a hand clicks. */
const FINEST = 3000;

export function FromPhoto() {
  const [why, setWhy] = createSignal<string | null>(null);
  const pick = async (input: HTMLInputElement) => {
    const picked = input.files?.[0];
    if (!picked) return;
    setWhy(null);
    if (picked.size > LARGEST) {
      setWhy(`This photo has more than ${LARGEST / 1e6} MB. Save it smaller.`);
      return;
    }
    try {
      const image = await createImageBitmap(picked);
      const by = Math.min(1, FINEST / Math.max(image.width, image.height));
      const canvas = document.createElement("canvas");
      canvas.width = Math.max(1, Math.round(image.width * by));
      canvas.height = Math.max(1, Math.round(image.height * by));
      canvas.getContext("2d")?.drawImage(image, 0, 0, canvas.width, canvas.height);
      image.close();
      setPhoto({ canvas, w: canvas.width, h: canvas.height });
    } catch {
      setWhy("This file cannot be shown as a picture. Take a JPEG or PNG.");
    }
  };
  return (
    <div class="from-file">
      <label class="field grow"><span>From a photo</span><input type="file" accept="image/*" onChange={(e) => void pick(e.currentTarget)} /></label>
      <Show when={why()}>{(w) => <p class="key-why" role="alert">{w()}</p>}</Show>
      <Show when={photo()} fallback={<p class="quiet">Take it from far away, straight from above, and zoom in: what stands nearer to the lens looks larger than it is. Lay a ruler at the height of the face that you trace (common practice, no source).</p>}>
        <ol class="trace-steps">
          <li>
            <div class="fields">
              <button type="button" aria-pressed={step() === "scale"} onClick={() => setStep("scale")}>Click two ends of a known distance</button>
              <label class="field"><span>it is</span><input size="8" class="known" value={known()} placeholder={unit() === "mm" ? "like 100 mm" : "like 4 in"} aria-invalid={known() !== "" && knownMm() === null} onInput={(e) => setKnown(e.currentTarget.value)} /></label>
              <label class="field"><span>and runs</span>
                <select value={runs()} onChange={(e) => setRuns(e.currentTarget.value as Runs)}><option value="across">across</option><option value="up">upwards</option><option value="any">some other way</option></select>
              </label>
            </div>
            <p class="quiet" role="status">{fit() ? `One pixel is ${(unit() === "mm" ? fit()!.mmPerPixel : fit()!.mmPerPixel / 25.4).toPrecision(2)} ${unit() === "mm" ? "mm" : "in"}: nothing is known finer than that.` : ends().length < 2 ? `${2 - ends().length} to click.` : "Type how long it is."}</p>
          </li>
          <li><button type="button" disabled={!fit()} aria-pressed={step() === "corners"} onClick={() => setStep("corners")}>Click the corners, in order</button> <span class="quiet">{draft.shape === "corners" && draft.corners.length > 0 ? `${draft.corners.length} so far` : ""}</span></li>
          <li><button type="button" disabled={!fit()} aria-pressed={step() === "holes"} onClick={() => setStep("holes")}>Click the holes</button> <span class="quiet">{draft.holes.length > 0 ? `${draft.holes.length} so far` : ""}</span></li>
          <Show when={draft.terminals.length > 0}>
            <li>
              <button type="button" disabled={!fit()} aria-pressed={step() === "terminal"} onClick={() => setStep("terminal")}>Click the terminal</button>{" "}
              <select aria-label="Terminal to place" value={placed()} onChange={(e) => setPlaced(Number(e.currentTarget.value))}><For each={draft.terminals}>{(t, i) => <option value={i()}>{t["name"] || `terminal ${i() + 1}`}</option>}</For></select>
            </li>
          </Show>
        </ol>
        <div class="fields">
          <button type="button" onClick={takeLastSpot}>Take the last click back</button>
          <button type="button" onClick={() => setPhoto(null)}>Put the photo away</button>
        </div>
        <p class="quiet">Every click is a number in the form, and yours to change. {draft.unit === "mm" ? "" : `(${lengthNumber(25.4, "inch")} in steps of a hundredth.)`}</p>
      </Show>
    </div>
  );
}
