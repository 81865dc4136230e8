// From the board to the screen and back.
//
// `m` is 1 looking at the front and -1 looking at the back; while the board is turned over it runs from one
// to the other, which is what a flat thing turned about an upright axis looks like. The axis goes through
// the middle of the picture, so what is in the middle stays there.

import type { Face, Pt } from "../talk.ts";
import type { Box } from "./geometry.ts";

export type Frame = {
  /** Point of the board in the middle of the picture, mm. */
  cx: number; cy: number;
  /** Pixels a millimetre. */
  k: number;
  m: number;
  /** Size of the picture, and the middle of what the rulers leave free of it, pixels. */
  w: number; h: number; mx: number; my: number;
};

export const MIN_K = 0.15;
export const MAX_K = 40;

export function toScreen(f: Frame, p: Pt): Pt {
  return [f.mx + (p[0] - f.cx) * f.k * f.m, f.my - (p[1] - f.cy) * f.k];
}

export function toBoard(f: Frame, s: Pt): Pt {
  const m = f.m === 0 ? 1e-6 : f.m;
  return [f.cx + (s[0] - f.mx) / (f.k * m), f.cy - (s[1] - f.my) / f.k];
}

export function panned(f: Frame, dx: number, dy: number): Frame {
  const m = f.m < 0 ? -1 : 1;
  return { ...f, cx: f.cx - dx / (f.k * m), cy: f.cy + dy / f.k };
}

/** Zooms so that what is under `at` stays under it. */
export function zoomed(f: Frame, factor: number, at: Pt): Frame {
  const k = Math.min(MAX_K, Math.max(MIN_K, f.k * factor));
  const under = toBoard(f, at);
  const m = f.m < 0 ? -1 : 1;
  return { ...f, k, cx: under[0] - (at[0] - f.mx) / (k * m), cy: under[1] + (at[1] - f.my) / k };
}

/** Size of the picture with rulers of `ruler` pixels at the left and below. */
export function sized(f: Frame, w: number, h: number, ruler: number): Frame {
  return { ...f, w, h, mx: (w + ruler) / 2, my: (h - ruler) / 2 };
}

/**
 * Shows all of `box` in the middle, with `side` pixels free at both sides, so that it lies the same after it is
 * turned over, and `above` and `below`.
 */
export function fitted(f: Frame, box: Box, side: number, above: number, below: number): Frame {
  const wide = Math.max(1, 2 * (f.w - f.mx) - 2 * side);
  const high = Math.max(1, 2 * f.my - above - below);
  const k = Math.min(MAX_K, Math.max(MIN_K, Math.min(wide / Math.max(1, box.x1 - box.x0), high / Math.max(1, box.y1 - box.y0))));
  return { ...f, k, cx: (box.x0 + box.x1) / 2, cy: (box.y0 + box.y1) / 2 + (above - below) / 2 / k };
}

/** Brings `p` into the picture if it is not well inside it; zooms in only from far away. */
export function showing(f: Frame, p: Pt, leastK: number): Frame {
  const k = Math.max(f.k, leastK);
  const s = toScreen(f, p);
  const margin = Math.min(90, f.w / 5, f.h / 5);
  const seen = s[0] > margin && s[0] < f.w - margin && s[1] > margin && s[1] < f.h - margin;
  return seen && k === f.k ? f : { ...f, k, cx: p[0], cy: p[1] };
}

export function faceOf(m: number): Face {
  return m >= 0 ? "front" : "back";
}

/** Distance between ruler ticks: 1, 2 or 5 times a power of ten, at least `least` pixels apart. */
export function tickStep(k: number, least: number, unitMm: number): number {
  const raw = least / (k * unitMm);
  const power = 10 ** Math.floor(Math.log10(raw));
  for (const times of [1, 2, 5, 10]) if (power * times >= raw) return power * times;
  return power * 10;
}
