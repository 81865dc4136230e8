// What holds the parts, and what to buy.

import { For, Show, createMemo } from "solid-js";
import type { MakeOn, ShopOn } from "../talk.ts";
import { ticks } from "../state/desk.ts";
import { choose, chosen, goTo } from "../state/view.ts";
import { placeOf } from "../findings/place.ts";
import { plain } from "../words/numbers.ts";
import { plural } from "../words/say.ts";
import { TickBox } from "./Make.tsx";
import { saidOf, shopSaid, stateOf } from "./ticks.ts";

export function Fasteners(props: { make: MakeOn }) {
  const go = (name: string) => {
    choose([name]);
    const at = placeOf("part", name) ?? placeOf("plug", name) ?? placeOf("board-mount", name);
    if (at) goTo(at.at, at.face);
  };
  return (
    <Show when={props.make.fasteners.length > 0} fallback={<p class="empty">Nothing is screwed to a board yet. When a part sits on one, its screws, washers and standoffs stand here with their lengths.</p>}>
      <table class="list">
        <thead class="unseen"><tr><th scope="col">set</th><th scope="col">what it holds, and with what</th></tr></thead>
        <tbody>
          <For each={props.make.fasteners}>
            {(f) => (
              <tr classList={{ here: chosen().includes(f.of), ticked: saidOf(ticks().ticks, "fastener", f.key) !== undefined }}>
                <td class="words"><TickBox list="fastener" item={{ key: f.key, said: "" }} label={`${f.of}, ${f.pieces.join(", ")}: set`} /></td>
                <th scope="row">
                  <button type="button" class="link" onClick={() => go(f.of)}>{f.of}</button>
                  <small>{f.holes.length > 0 ? `${f.holes.length} ×, ${f.holes.length === 1 ? "hole" : "holes"} ${f.holes.join(", ")}` : "stuck on"}{f.turned_from ? `, turned from the ${f.turned_from}` : ""}</small>
                  <small>{f.pieces.join(" + ")}</small>
                  <Show when={!f.fits}><p class="changed">No standard length fits: see the findings.</p></Show>
                </th>
              </tr>
            )}
          </For>
        </tbody>
      </table>
    </Show>
  );
}

export function Shopping(props: { make: MakeOn }) {
  const groups = createMemo(() => {
    const all = new Map<string, ShopOn[]>();
    for (const s of props.make.shopping) all.set(s.group, [...(all.get(s.group) ?? []), s]);
    return [...all];
  });
  return (
    <Show when={props.make.shopping.length > 0} fallback={<p class="empty">Nothing to buy yet. Parts, wire by the reel, screws and ends stand here as soon as the robot has any, with spares.</p>}>
      <For each={groups()}>
        {([group, lines]) => (
          <section class="reel">
            <h3>{group}</h3>
            <table class="list">
              <thead class="unseen"><tr><th scope="col">bought</th><th scope="col">what</th><th scope="col">how much</th></tr></thead>
              <tbody>
                <For each={lines}>
                  {(s) => {
                    const item = () => ({ key: s.item, said: shopSaid(s) });
                    const state = () => stateOf(ticks().ticks, "shopping", item());
                    return (
                      <tr classList={{ ticked: state() === "done" }}>
                        <td class="words"><TickBox list="shopping" item={item()} label={`${s.item} is bought`} /></td>
                        <th scope="row">{s.item}<Show when={s.note}><small>{s.note}</small></Show>
                          <Show when={state() === "other"}><p class="changed">You bought {saidOf(ticks().ticks, "shopping", s.item)}; now it is {shopSaid(s)}.</p></Show>
                        </th>
                        <td>{s.unit === "pieces" ? plural(s.buy, "piece") : `${plain(s.buy)}\u202f${s.unit}`}</td>
                      </tr>
                    );
                  }}
                </For>
              </tbody>
            </table>
          </section>
        )}
      </For>
    </Show>
  );
}
