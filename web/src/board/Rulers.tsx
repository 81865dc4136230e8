// Rulers along the left and lower edge of the picture, from the corner of the board that is its datum.

import { For, createMemo } from "solid-js";
import { frame, unit } from "../state/view.ts";
import { lengthNumber } from "../words/numbers.ts";
import { tickStep, toBoard, toScreen } from "./frame.ts";

export const RULER = 36;

type Tick = { at: number; text: string | null };

export function Rulers() {
  const ticks = (way: "x" | "y", from: number, to: number): Tick[] => {
    const f = frame();
    const per = unit() === "mm" ? 1 : 25.4;
    const step = tickStep(f.k, way === "x" ? 58 : 46, per) * per;
    const small = step / 5;
    const out: Tick[] = [];
    const [low, high] = [Math.min(from, to), Math.max(from, to)];
    for (let i = Math.ceil(low / small); i <= Math.floor(high / small); i++) {
      const mm = i * small;
      const at = way === "x" ? toScreen(f, [mm, 0])[0] : toScreen(f, [0, mm])[1];
      out.push({ at, text: i % 5 === 0 ? lengthNumber(mm, unit()) : null });
    }
    return out;
  };
  const flat = createMemo(() => {
    const f = frame();
    if (Math.abs(f.m) < 0.999) return [];
    return ticks("x", toBoard(f, [RULER, 0])[0], toBoard(f, [f.w, 0])[0]);
  });
  const tall = createMemo(() => {
    const f = frame();
    return ticks("y", toBoard(f, [0, 0])[1], toBoard(f, [0, f.h - RULER])[1]);
  });
  return (
    <g class="rulers" aria-hidden="true">
      <rect class="ruler" x="0" y={frame().h - RULER} width={frame().w} height={RULER} />
      <rect class="ruler" x="0" y="0" width={RULER} height={frame().h} />
      <For each={flat()}>
        {(t) => (
          <g transform={`translate(${t.at} ${frame().h - RULER})`} classList={{ gone: t.at < RULER + 4 }}>
            <path class="tick" d={`M0 0v${t.text === null ? 5 : 10}`} />
            {t.text !== null && <text class="tick-text" y="28" text-anchor="middle">{t.text}</text>}
          </g>
        )}
      </For>
      <For each={tall()}>
        {(t) => (
          <g transform={`translate(${RULER} ${t.at})`} classList={{ gone: t.at > frame().h - RULER - 4 }}>
            <path class="tick" d={`M0 0h-${t.text === null ? 5 : 10}`} />
            {t.text !== null && <text class="tick-text" transform="translate(-15 0) rotate(-90)" text-anchor="middle">{t.text}</text>}
          </g>
        )}
      </For>
      <rect class="ruler corner" x="0" y={frame().h - RULER} width={RULER} height={RULER} />
      <text class="tick-text" x={RULER / 2} y={frame().h - RULER / 2 + 5} text-anchor="middle">{unit() === "mm" ? "mm" : "in"}</text>
    </g>
  );
}
