// All parts and all wires, to look one up and go to its place.

import { For, Show, createMemo, createSignal } from "solid-js";
import { mayEdit, situations, study } from "../state/desk.ts";
import { choose, chooseWire, chosen, chosenWire, goTo, unit } from "../state/view.ts";
import { length } from "../words/numbers.ts";
import { placeOf } from "../findings/place.ts";
import { found } from "./found.ts";
import { AddOther } from "../editing/AddOther.tsx";
import { begin, look } from "../editing/bench.ts";
import { setChosenPass } from "../editing/openings.ts";

export function Parts() {
  const [find, setFind] = createSignal("");
  const rows = createMemo(() => [
    ...study.parts.map((p) => ({ kind: "part", name: p.name, title: p.title, where: p.face as string, text: `${p.name} ${p.title} ${p.face}` })),
    ...study.plugs.map((p) => ({ kind: "plug", name: p.name, title: p.family, where: `${p.face}, to ${p.zone}`, text: `${p.name} ${p.family} ${p.face} ${p.zone} plug` })),
    ...study.off_board.map((p) => ({ kind: "off", name: p.name, title: p.title, where: p.zone, text: `${p.name} ${p.title} ${p.zone}` })),
  ]);
  const hits = createMemo(() => rows().filter((r) => found(find(), r.text)));
  const go = (kind: string, name: string) => {
    choose([name]);
    const at = placeOf(kind, name);
    if (at) goTo(at.at, at.face);
  };
  // Off the board it is chosen on the power diagram, and its keys are shown.
  const off = (name: string) => {
    choose([name]);
    look({ kind: "part", name });
  };
  return (
    <section class="list-page" aria-label="Parts">
      <Show when={mayEdit()}>
        <div class="fields doings">
          <button type="button" class="main" onClick={() => begin("part")} title="A on the board">Add a part</button>
          <button type="button" onClick={() => begin("type")} title="From measurements, a drawing or a photo">Make a part type</button>
          <Show when={study.sheet}><button type="button" onClick={() => begin("pass")} title="O on the board">Cut an opening</button></Show>
        </div>
      </Show>
      <label class="field grow"><span>Find a part</span><input type="search" value={find()} onInput={(e) => setFind(e.currentTarget.value)} placeholder="name, kind or place" /></label>
      <Show when={rows().length > 0} fallback={<p class="empty">No parts yet. Add one from the library, and say where it goes.</p>}>
        <table class="list">
          <thead><tr><th scope="col">part</th><th scope="col">where</th></tr></thead>
          <tbody>
            <For each={hits()}>
              {(r) => (
                <tr classList={{ here: chosen().includes(r.name) }}>
                  <th scope="row">
                    <button type="button" class="link" onClick={() => (r.kind === "off" ? off(r.name) : go(r.kind, r.name))}>{r.name}</button>
                    <small>{r.title}</small>
                  </th>
                  <td class="words">{r.where}</td>
                </tr>
              )}
            </For>
          </tbody>
        </table>
        <Show when={hits().length === 0}><p class="empty">Nothing here is called that.</p></Show>
      </Show>
      <h3>What else the files say</h3>
      <ul class="others">
        <li><button type="button" class="link" onClick={() => look({ kind: "robot" })}>The robot</button> <small>name, limits, body, motion, what is printed</small></li>
        <Show when={study.sheet}><li><button type="button" class="link" onClick={() => look({ kind: "board" })}>The board</button> <small>sheet and depths</small></li></Show>
        <For each={study.zones}>{(z) => <li><button type="button" class="link" onClick={() => look({ kind: "zone", name: z.name })}>{z.name}</button> <small>zone</small></li>}</For>
        <For each={study.sheet?.passes ?? []}>{(p) => <li><button type="button" class="link" onClick={() => { setChosenPass(p.name); look({ kind: "pass", name: p.name }); }}>{p.name}</button> <small>opening</small></li>}</For>
        <For each={study.sheet?.mounts ?? []}>{(m) => <li><button type="button" class="link" onClick={() => look({ kind: "board-mount", name: m.name })}>{m.name}</button> <small>bolt of the board</small></li>}</For>
        <For each={study.sheet?.keep_outs ?? []}>{(k) => <li><button type="button" class="link" onClick={() => look({ kind: "keep-out", name: k.name })}>{k.name}</button> <small>kept-out area</small></li>}</For>
        <For each={study.looms}>{(l) => <li><button type="button" class="link" onClick={() => look({ kind: "loom", name: l.name })}>{l.name}</button> <small>loom</small></li>}</For>
        <For each={study.robot?.cables ?? []}>{(c) => <li><button type="button" class="link" onClick={() => look({ kind: "cable", name: c })}>{c}</button> <small>cable</small></li>}</For>
        <For each={study.robot?.own_types ?? []}>{(t) => <li><button type="button" class="link" onClick={() => look({ kind: "type", name: t })}>{t}</button> <small>part type of your own</small></li>}</For>
        <For each={situations()}>{(s) => <li><button type="button" class="link" onClick={() => look({ kind: "situation", name: s.name })}>{s.name}</button> <small>situation</small></li>}</For>
      </ul>
      <Show when={mayEdit()}><AddOther /></Show>
    </section>
  );
}

export function WireList() {
  const [find, setFind] = createSignal("");
  const hits = createMemo(() => study.wires.filter((w) => found(find(), `${w.name} ${w.from} ${w.to} ${w.size} ${w.loom ?? ""}`)));
  const go = (name: string) => {
    chooseWire(name);
    const at = placeOf("wire", name);
    if (at) goTo(at.at, at.face);
  };
  return (
    <section class="list-page" aria-label="Wires">
      <Show when={mayEdit()}><div class="fields doings"><button type="button" class="main" onClick={() => begin("wire")} title="W on the board">Draw a wire</button></div></Show>
      <label class="field grow"><span>Find a wire</span><input type="search" value={find()} onInput={(e) => setFind(e.currentTarget.value)} placeholder="name, end, size or loom" /></label>
      <Show when={study.wires.length > 0} fallback={<p class="empty">No wires yet. Draw one from a terminal to a terminal.</p>}>
        <table class="list">
          <thead><tr><th scope="col">wire</th><th scope="col">size</th><th scope="col" class="num">cut</th></tr></thead>
          <tbody>
            <For each={hits()}>
              {(w) => (
                <tr classList={{ here: chosenWire() === w.name }}>
                  <th scope="row">
                    <button type="button" class="link" onClick={() => go(w.name)}>
                      <svg class="swatch" viewBox="0 0 18 8" aria-hidden="true"><path d="M1 4H17" class="swatch-edge" /><path d="M1 4H17" stroke={/^#[0-9a-f]{6}$/iu.test(w.colour) ? w.colour : "currentColor"} stroke-width="4.5" /></svg>
                      {w.name}
                    </button>
                    <small>{w.from} to {w.to}</small>
                  </th>
                  <td class="words">{w.size.replace(" ", "\u202f")}</td>
                  <td>{w.cut_mm === null ? "–" : w.cut_mm === 0 ? "own lead" : length(w.cut_mm, unit())}</td>
                </tr>
              )}
            </For>
          </tbody>
        </table>
        <Show when={hits().length === 0}><p class="empty">No wire is called that, ends there or has that size.</p></Show>
      </Show>
    </section>
  );
}
