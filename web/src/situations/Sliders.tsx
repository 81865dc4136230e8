// The same situation at another charge or speed: shown as long as you look, never kept.

import { Show, createEffect, createMemo, createSignal, on, onCleanup } from "solid-js";
import { endSlide, slide, sliding } from "../state/desk.ts";
import { situation } from "../state/view.ts";
import { withUnit } from "../words/numbers.ts";
import { fastest } from "./fastest.ts";

type Slid = { charge_percent?: number; speed_m_s?: number };

export function Sliders(props: { name: string }) {
  const [slid, setSlid] = createSignal<Slid>({});
  // While it is slid, what the desk tells of the situation is the slid state.
  const base = createMemo<{ charge_percent: number; speed_m_s: number }>(
    (old) => {
      const now = situation();
      return sliding() || !now ? old : { charge_percent: now.charge_percent, speed_m_s: now.speed_m_s };
    },
    { charge_percent: 100, speed_m_s: 0 },
  );
  const now = (key: keyof Slid) => slid()[key] ?? base()[key];

  let asked = false;
  const look = (to: Slid) => {
    setSlid({ ...slid(), ...to });
    if (asked) return;
    asked = true;
    // At most one a picture.
    requestAnimationFrame(() => {
      asked = false;
      if (Object.keys(slid()).length > 0) slide(props.name, slid());
    });
  };
  const back = () => {
    setSlid({});
    endSlide();
  };
  // The name alone: the rest of the situation changes with every step of a slider.
  const name = createMemo(() => props.name);
  createEffect(on(name, () => setSlid({}), { defer: true }));
  // Another page's edit, or a line that went, ends it.
  createEffect(on(sliding, (is, was) => {
    if (was && !is) setSlid({});
  }));
  onCleanup(endSlide);
  return (
    <div class="sliders" role="group" aria-label="What if">
      <b>What if</b>
      <label>
        <span>charge</span>
        <input type="range" min="0" max="100" step="1" value={now("charge_percent")} onInput={(e) => look({ charge_percent: e.currentTarget.valueAsNumber })} aria-valuetext={withUnit(now("charge_percent"), "%")} />
        <output>{withUnit(now("charge_percent"), "%")}</output>
      </label>
      <label>
        <span>speed</span>
        <input type="range" min="0" max={fastest(base().speed_m_s)} step="0.05" value={now("speed_m_s")} onInput={(e) => look({ speed_m_s: e.currentTarget.valueAsNumber })} aria-valuetext={withUnit(now("speed_m_s"), "m/s")} />
        <output>{withUnit(now("speed_m_s"), "m/s")}</output>
      </label>
      <Show when={sliding()}>
        <p role="status">Only shown, not kept. <button type="button" onClick={back}>As the files say</button></p>
      </Show>
    </div>
  );
}
