// The same situation at another charge, speed or volume: shown as long as you look, never kept.

import { Show, createEffect, createMemo, createSignal, on, onCleanup } from "solid-js";
import { endSlide, slide, sliding } from "../state/desk.ts";
import type { Slid } from "../state/desk.ts";
import { situation } from "../state/view.ts";
import { withUnit } from "../words/numbers.ts";
import { fastest } from "./fastest.ts";

export function Sliders(props: { name: string }) {
  const [slid, setSlid] = createSignal<Slid>({});
  // While it is slid, what the desk tells of the situation is the slid state.
  const base = createMemo<Required<Slid> & { loud: boolean }>(
    (old) => {
      const now = situation();
      return sliding() || !now ? old : {
        charge_percent: now.charge_percent, speed_m_s: now.speed_m_s, volume_percent: now.volume_percent ?? 0, loud: now.volume_percent !== null,
      };
    },
    { charge_percent: 100, speed_m_s: 0, volume_percent: 0, loud: false },
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
      <Show when={base().loud}>
        <label title="100 % is the loudest that the amplifier's type states, 0 % the quietest; between them, shares of the sound's power: half of it is 3 dB less. Right for switching amplifiers; others take more in between.">
          <span>volume</span>
          <input type="range" min="0" max="100" step="1" value={now("volume_percent")} onInput={(e) => look({ volume_percent: e.currentTarget.valueAsNumber })} aria-valuetext={withUnit(now("volume_percent"), "%")} />
          <output>{withUnit(now("volume_percent"), "%")}</output>
        </label>
      </Show>
      <Show when={slid().volume_percent !== undefined}>
        <p class="quiet">Volume: 100 % is the loudest that the amplifier’s type states, 0 % the quietest. Between them it is a share of the sound’s power, so half is 3 dB less. That holds for switching amplifiers; others take more in between.</p>
      </Show>
      <Show when={sliding()}>
        <p role="status">Only shown, not kept. <button type="button" onClick={back}>As the files say</button></p>
      </Show>
    </div>
  );
}
