// The drawing of a part type: true to scale, with the measures known so far; a photo to trace may lie under it.

import { For, Show, createEffect, createMemo, createSignal, on, onCleanup, onMount } from "solid-js";
import type { Pt } from "../talk.ts";
import { unit } from "../state/view.ts";
import { boxOf, grown, join } from "../board/geometry.ts";
import type { Box } from "../board/geometry.ts";
import { lengthNumber } from "../words/numbers.ts";
import { clickPhoto, draft, drawn, ends, fit, holeSpots, photo, spots, step } from "./draft.ts";
import { toMm, toPixel } from "./trace.ts";
import type { Fit } from "./trace.ts";

const ROOM = 84;

export function TypeSheet() {
  let place!: HTMLDivElement;
  const [size, setSize] = createSignal<Pt>([400, 300]);
  const [zoom, setZoom] = createSignal({ by: 1, dx: 0, dy: 0 });
  onMount(() => {
    const seen = new ResizeObserver(() => setSize([place.clientWidth, place.clientHeight]));
    seen.observe(place);
    onCleanup(() => seen.disconnect());
  });
  createEffect(on(() => [photo(), step() === "scale"], () => setZoom({ by: 1, dx: 0, dy: 0 })));
  // Without a scale the photo is as many millimetres wide as it has pixels: only its picture counts then.
  const under = (): Fit => fit() ?? { mmPerPixel: 1, turn: 0, origin: [0, photo()?.h ?? 0] };
  const box = createMemo<Box>(() => {
    const p = photo();
    if (p && step() !== null) return boxOf(([[0, 0], [p.w, 0], [p.w, p.h], [0, p.h]] as Pt[]).map((q) => toMm(under(), q)));
    const d = drawn();
    const all = boxOf([...d.outline, ...d.holes.map((h) => h.at_mm), ...d.terminals.map((t) => t.at_mm)]);
    return Number.isFinite(all.x0) ? join(all, grown(boxOf([[all.x0, all.y0]]), 1)) : { x0: 0, y0: 0, x1: 100, y1: 60 };
  });
  const tracing = () => photo() !== null && step() !== null;
  const k = createMemo(() => {
    const [w, h] = size();
    const room = tracing() ? 8 : ROOM;
    const b = box();
    // Below the part its side is drawn, to the same scale.
    const tall = b.y1 - b.y0 + (tracing() ? 0 : drawn().height_mm ?? 0);
    const side = tracing() || drawn().height_mm === null ? 0 : 54;
    return Math.max(1e-4, Math.min((w - 2 * room) / Math.max(1e-6, b.x1 - b.x0), (h - 2 * room - side) / Math.max(1e-6, tall))) * zoom().by;
  });
  const side = () => (tracing() || drawn().height_mm === null ? 0 : drawn().height_mm! * k() + 54);
  const at = ([x, y]: Pt): Pt => {
    const [w, h] = size();
    const b = box();
    return [w / 2 + (x - (b.x0 + b.x1) / 2) * k() + zoom().dx, (h - side()) / 2 - (y - (b.y0 + b.y1) / 2) * k() + zoom().dy];
  };
  const back = ([sx, sy]: Pt): Pt => {
    const [w, h] = size();
    const b = box();
    return [(sx - w / 2 - zoom().dx) / k() + (b.x0 + b.x1) / 2, ((h - side()) / 2 + zoom().dy - sy) / k() + (b.y0 + b.y1) / 2];
  };
  const spot = (p: Pt) => at(toMm(under(), p));
  // The canvas is laid under the drawing by the pictures of three of its corners.
  createEffect(() => {
    const p = photo();
    if (!p) return;
    const [o, a, b] = [spot([0, 0]), spot([1, 0]), spot([0, 1])];
    p.canvas.style.transform = `matrix(${a[0] - o[0]}, ${a[1] - o[1]}, ${b[0] - o[0]}, ${b[1] - o[1]}, ${o[0]}, ${o[1]})`;
  });
  /** Where a hand took hold of the photo, and whether it has moved it since: that is no click. */
  let hold: { x: number; y: number; moved: boolean } | null = null;
  const drag = (e: PointerEvent) => {
    if (!hold || !photo() || e.buttons === 0) return;
    const [dx, dy] = [e.clientX - hold.x, e.clientY - hold.y];
    if (!hold.moved && Math.hypot(dx, dy) < 6) return;
    hold = { x: e.clientX, y: e.clientY, moved: true };
    setZoom((z) => ({ ...z, dx: z.dx + dx, dy: z.dy + dy }));
  };
  const click = (e: MouseEvent) => {
    if (!tracing() || hold?.moved) return;
    const r = place.getBoundingClientRect();
    clickPhoto(toPixel(under(), back([e.clientX - r.left, e.clientY - r.top])));
  };
  const wheel = (e: WheelEvent) => {
    if (!photo()) return;
    e.preventDefault();
    const r = place.getBoundingClientRect();
    nearer([e.clientX - r.left, e.clientY - r.top], Math.exp(-e.deltaY / 400));
  };
  /** Nearer or farther, about a spot that stays where it is. */
  const nearer = (p: Pt, by: number) => {
    const kept = back(p);
    setZoom((z) => ({ ...z, by: Math.min(40, Math.max(0.5, z.by * by)) }));
    const now = at(kept);
    setZoom((z) => ({ ...z, dx: z.dx + p[0] - now[0], dy: z.dy + p[1] - now[1] }));
  };
  const middleOf = (): Pt => [size()[0] / 2, size()[1] / 2];
  return (
    <div class="type-sheet" classList={{ tracing: tracing() }} ref={place} onClick={click} onPointerDown={(e) => (hold = { x: e.clientX, y: e.clientY, moved: false })} onPointerMove={drag} on:wheel={{ handleEvent: wheel, passive: false }}>
      <Show when={photo()}>{(p) => { p().canvas.className = "type-photo"; return p().canvas; }}</Show>
      <svg role="img" aria-label={spoken()}>
        <Show when={drawn().outline.length > 0 || tracing()} fallback={<text class="type-empty" x={size()[0] / 2} y={size()[1] / 2}>The drawing grows as you type.</text>}>
          <Outline at={at} />
          <Show when={!tracing()}><Measures at={at} box={box()} k={k()} /></Show>
        </Show>
        <For each={ends()}>{(p, i) => <g class="type-end"><circle cx={spot(p)[0]} cy={spot(p)[1]} r="5" /><Show when={i() === 1}><path d={`M${spot(ends()[0]!).join(" ")}L${spot(p).join(" ")}`} /></Show></g>}</For>
        <For each={tracing() ? [...spots(), ...holeSpots()] : []}>{(p) => <circle class="type-spot" cx={spot(p)[0]} cy={spot(p)[1]} r="4" />}</For>
      </svg>
      <Show when={tracing()}>
        <div class="type-zoom pair" role="group" aria-label="Size of the photo" onClick={(e) => e.stopPropagation()}>
          <button type="button" aria-label="Farther" onClick={() => nearer(middleOf(), 1 / 1.6)}>−</button>
          <button type="button" onClick={() => setZoom({ by: 1, dx: 0, dy: 0 })}>All of it</button>
          <button type="button" aria-label="Nearer" onClick={() => nearer(middleOf(), 1.6)}>+</button>
        </div>
      </Show>
      <p class="type-note">{tracing() ? "Click on the photo; drag to move it, the wheel zooms." : `${draft.name || "new type"}, as seen where it is mounted, in ${unit() === "mm" ? "mm" : "inches"}`}</p>
    </div>
  );
}

function spoken(): string {
  const d = drawn();
  if (d.outline.length === 0) return "Nothing to draw yet";
  const b = boxOf(d.outline);
  const n = (x: number) => lengthNumber(x, unit());
  return `Drawing: ${n(b.x1 - b.x0)} by ${n(b.y1 - b.y0)} ${unit() === "mm" ? "mm" : "inches"}, ${d.holes.length} holes, ${d.terminals.length} terminals`;
}

function Outline(props: { at: (p: Pt) => Pt }) {
  const path = () => (drawn().outline.length > 0 ? `M${drawn().outline.map((p) => props.at(p).join(" ")).join("L")}${drawn().outline.length > 2 ? "Z" : ""}` : "");
  const k = () => props.at([1, 0])[0] - props.at([0, 0])[0];
  return (
    <>
      <path class="type-outline" d={path()} />
      <For each={drawn().holes}>
        {(h) => {
          const c = () => props.at(h.at_mm);
          const r = () => Math.max(2, ((h.diameter_mm ?? 0) / 2) * k());
          return <g class="type-hole"><circle cx={c()[0]} cy={c()[1]} r={r()} /><path d={`M${c()[0] - r() - 5} ${c()[1]}h${2 * r() + 10}M${c()[0]} ${c()[1] - r() - 5}v${2 * r() + 10}`} /></g>;
        }}
      </For>
      <For each={drawn().terminals}>
        {(t) => {
          const c = () => props.at(t.at_mm);
          const a = () => ((t.direction_deg ?? 0) * Math.PI) / 180;
          const far = (n: number): Pt => [c()[0] + n * Math.cos(a()), c()[1] - n * Math.sin(a())];
          // The name stands behind the wire, over the part, where no measure is.
          const upright = () => t.direction_deg !== null && Math.abs(Math.sin(a())) > 0.7;
          const leftwards = () => t.direction_deg !== null && Math.cos(a()) < -0.7;
          return (
            <g class="type-terminal">
              <Show when={t.direction_deg !== null} fallback={<circle class="off" cx={c()[0]} cy={c()[1]} r="7" />}><path d={`M${c().join(" ")}L${far(20).join(" ")}`} /></Show>
              <circle cx={c()[0]} cy={c()[1]} r="4" />
              <text
                x={far(-9)[0]} y={far(-9)[1] + (upright() ? 0 : 5)} text-anchor={upright() ? (Math.sin(a()) > 0 ? "end" : "start") : leftwards() || t.direction_deg === null ? "start" : "end"}
                transform={upright() ? `rotate(-90 ${far(-9).join(" ")}) translate(0 5)` : undefined}
              >{t.name}</text>
            </g>
          );
        }}
      </For>
    </>
  );
}

/** Measures as in a workshop drawing: two thin lines out, an arrow between, the number on it. */
function Measures(props: { at: (p: Pt) => Pt; box: Box; k: number }) {
  const d = drawn;
  const shape = createMemo(() => boxOf(d().outline));
  const n = (x: number) => lengthNumber(Math.abs(x), unit());
  const low = () => props.at([shape().x0, shape().y0]);
  const high = () => props.at([shape().x1, shape().y1]);
  const holes = createMemo(() => {
    const all = d().holes.map((h) => h.at_mm);
    return all.length > 0 ? boxOf(all) : null;
  });
  const sideTop = () => low()[1] + 54;
  return (
    <Show when={d().outline.length > 0}>
      <Dim a={[low()[0], low()[1]]} b={[high()[0], low()[1]]} off={30} text={draft.shape === "round" ? `⌀ ${n(shape().x1 - shape().x0)}` : n(shape().x1 - shape().x0)} />
      <Show when={draft.shape !== "round"}><Dim a={[low()[0], low()[1]]} b={[low()[0], high()[1]]} off={-44} text={n(shape().y1 - shape().y0)} upright /></Show>
      <Show when={holes()}>
        {(b) => (
          <>
            <Show when={b().x1 > b().x0}><Dim a={props.at([b().x0, shape().y1])} b={props.at([b().x1, shape().y1])} off={-26} text={n(b().x1 - b().x0)} /></Show>
            <Show when={b().x0 > shape().x0}><Dim a={[low()[0], high()[1]]} b={props.at([b().x0, shape().y1])} off={-26} text={n(b().x0 - shape().x0)} /></Show>
            <Show when={b().y1 > b().y0}><Dim a={props.at([shape().x1, b().y0])} b={props.at([shape().x1, b().y1])} off={44} text={n(b().y1 - b().y0)} upright /></Show>
            <Show when={b().y0 > shape().y0}><Dim a={[high()[0], low()[1]]} b={props.at([shape().x1, b().y0])} off={44} text={n(b().y0 - shape().y0)} upright /></Show>
          </>
        )}
      </Show>
      <Show when={d().holes.length > 0 && d().holes[0]!.diameter_mm !== null}>
        <text class="type-says" x={high()[0]} y={high()[1] - 36} text-anchor="end">{d().holes.length} × ⌀ {n(d().holes[0]!.diameter_mm!)}</text>
      </Show>
      <Show when={d().height_mm !== null && d().height_mm! > 0}>
        <path class="type-outline" d={`M${low()[0]} ${sideTop()}H${high()[0]}V${sideTop() + d().height_mm! * props.k}H${low()[0]}Z`} />
        <path class="type-ground" d={`M${low()[0] - 10} ${sideTop() + d().height_mm! * props.k}H${high()[0] + 10}`} />
        <Dim a={[low()[0], sideTop() + d().height_mm! * props.k]} b={[low()[0], sideTop()]} off={-44} text={n(d().height_mm!)} upright />
      </Show>
    </Show>
  );
}

function Dim(props: { a: Pt; b: Pt; off: number; text: string; upright?: boolean }) {
  const [up] = [() => props.upright === true];
  const a = (): Pt => (up() ? [props.a[0] + props.off, props.a[1]] : [props.a[0], props.a[1] + props.off]);
  const b = (): Pt => (up() ? [props.a[0] + props.off, props.b[1]] : [props.b[0], props.a[1] + props.off]);
  const tick = ([x, y]: Pt) => `M${x - 4} ${y + 4}L${x + 4} ${y - 4}`;
  const m = (): Pt => [(a()[0] + b()[0]) / 2, (a()[1] + b()[1]) / 2];
  return (
    <g class="type-dim">
      <path d={`M${props.a.join(" ")}L${a().join(" ")}M${props.b.join(" ")}L${b().join(" ")}M${a().join(" ")}L${b().join(" ")}${tick(a())}${tick(b())}`} />
      <text x={m()[0]} y={m()[1] - 4} text-anchor="middle" transform={up() ? `rotate(-90 ${m()[0]} ${m()[1]})` : undefined}>{props.text}</text>
    </g>
  );
}
