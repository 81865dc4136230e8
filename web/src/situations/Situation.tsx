// One situation: what its wires carry and how warm they get, what stands at the terminals, what parts give off.

import { For, Index, Show, createMemo, createSignal } from "solid-js";
import { endSlide, mayEdit, situations } from "../state/desk.ts";
import {
  chooseWire, choose, goTo, setSituationName, setTint, situation, situationName, tint,
} from "../state/view.ts";
import type { Tint } from "../state/view.ts";
import { amps, celsius, drop, volts, watts } from "../words/numbers.ts";
import { placeOf } from "../findings/place.ts";
import { Plots } from "./Plots.tsx";
import { Sliders } from "./Sliders.tsx";
import { hardest, heatOf, shareOfLimit } from "./heat.ts";

type Which = "wires" | "terminals" | "parts";

export function Situation() {
  const [which, setWhich] = createSignal<Which>("wires");
  const [find, setFind] = createSignal("");
  const has = (text: string) => text.toLocaleLowerCase().includes(find().trim().toLocaleLowerCase());
  const wires = createMemo(() => hardest(situation()?.wires ?? []).filter((w) => has(w.name)));
  const terminals = createMemo(() => (situation()?.terminals ?? []).filter((t) => has(t.name)));
  const parts = createMemo(() => [...(situation()?.parts ?? [])].filter((p) => has(p.name)).sort((a, b) => b.power_w - a.power_w));
  const showWire = (name: string) => {
    chooseWire(name);
    const at = placeOf("wire", name);
    if (at) goTo(at.at, at.face);
  };
  const showPart = (name: string) => {
    choose([name]);
    const at = placeOf("part", name);
    if (at) goTo(at.at, at.face);
  };
  return (
    <section class="situation" aria-label="Situation">
      <Show
        when={situations().length > 0}
        fallback={
          <div class="empty">
            <p>This robot gets into no situation yet. Describe one in its files, and you see here what every wire carries and how warm it gets:</p>
            <pre>{"[[situation]]\nname = \"driving\"\nabout = \"Level ground, walking pace.\""}</pre>
          </div>
        }
      >
        <div class="fields">
          <label class="field grow">
            <span>In the situation</span>
            <select value={situationName() ?? ""} onChange={(e) => {
                endSlide();
                setSituationName(e.currentTarget.value || null);
              }}>
              <option value="">choose a situation …</option>
              <For each={situations().map((s) => s.name)}>{(name) => <option value={name}>{name}</option>}</For>
            </select>
          </label>
        </div>
        <Show
          when={situation()}
          fallback={<Show when={situationName() === null || !situations().some((s) => s.name === situationName())}><p class="empty">Choose a situation: the wires on the board take the colour of their load, and every current, voltage and temperature stands here.</p></Show>}
        >
          {(now) => (
            <>
              <Show when={now().note}><p class="quiet">{now().note}</p></Show>
              <Show when={mayEdit()}><Sliders name={now().name} /></Show>
              <div class="fields">
                <label class="field">
                  <span>Wires tinted by</span>
                  <select value={tint()} onChange={(e) => setTint(e.currentTarget.value as Tint)}>
                    <option value="temperature">temperature</option>
                    <option value="load">current</option>
                  </select>
                </label>
                <label class="field">
                  <span>Table of</span>
                  <select value={which()} onChange={(e) => setWhich(e.currentTarget.value as Which)}>
                    <option value="wires">wires</option>
                    <option value="terminals">terminals</option>
                    <option value="parts">parts</option>
                  </select>
                </label>
                <label class="field grow"><span>Find</span><input type="search" value={find()} onInput={(e) => setFind(e.currentTarget.value)} /></label>
              </div>
              <Plots />
              <Show when={which() === "wires"}>
                <table class="list">
                  <thead><tr><th scope="col">wire</th><th scope="col" class="num">current</th><th scope="col" class="num">drop</th><th scope="col" class="num">warm to</th><th scope="col" class="num">limit</th></tr></thead>
                  <tbody>
                    <Index each={wires()}>
                      {(w) => (
                        <tr classList={{ beyond: (shareOfLimit(w()) ?? 0) > 1 }}>
                          <th scope="row"><button type="button" class="link" onClick={() => showWire(w().name)}><i class={`heat-dot heat-${heatOf(w())}`} aria-hidden="true" />{w().name}</button></th>
                          <td>{amps(Math.abs(w().current_a))}</td>
                          <td>{drop(Math.abs(w().drop_v))}</td>
                          <td>{w().temperature_c === null ? "–" : celsius(w().temperature_c ?? 0)}<Show when={(shareOfLimit(w()) ?? 0) > 1}> <b>too hot</b></Show></td>
                          <td>{w().limit_c === null ? "–" : celsius(w().limit_c ?? 0)}</td>
                        </tr>
                      )}
                    </Index>
                  </tbody>
                </table>
                <Show when={wires().length === 0}><p class="empty">No wire that carries anything is called that.</p></Show>
              </Show>
              <Show when={which() === "terminals"}>
                <table class="list">
                  <thead><tr><th scope="col">terminal</th><th scope="col" class="num">stands at</th></tr></thead>
                  <tbody><Index each={terminals()}>{(t) => <tr><th scope="row">{t().name}</th><td>{volts(t().voltage_v)}</td></tr>}</Index></tbody>
                </table>
                <Show when={terminals().length === 0}><p class="empty">No terminal is called that.</p></Show>
              </Show>
              <Show when={which() === "parts"}>
                <table class="list">
                  <thead><tr><th scope="col">part</th><th scope="col" class="num">heat it gives off</th></tr></thead>
                  <tbody>
                    <Index each={parts()}>{(p) => <tr><th scope="row"><button type="button" class="link" onClick={() => showPart(p().name)}>{p().name}</button></th><td>{watts(p().power_w)}</td></tr>}</Index>
                  </tbody>
                </table>
                <Show when={parts().length === 0}><p class="empty">No part is called that.</p></Show>
              </Show>
            </>
          )}
        </Show>
      </Show>
    </section>
  );
}
