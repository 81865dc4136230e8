// Mouse and fingers over the diagram: drag to pan, wheel or two fingers to zoom, click to choose.

import type { Pt } from "../talk.ts";
import { panned, zoomed } from "./frame.ts";
import type { Look } from "./frame.ts";

export function createPan(options: { svg: () => SVGSVGElement; set: (next: (f: Look) => Look) => void; click: (target: Element | null) => void }) {
  const fingers = new Map<number, Pt>();
  let pressed: { at: Pt; target: Element | null } | null = null;

  const place = (e: PointerEvent | WheelEvent): Pt => {
    const r = options.svg().getBoundingClientRect();
    return [e.clientX - r.left, e.clientY - r.top];
  };
  const pair = () => {
    const [a, b] = [...fingers.values()] as [Pt, Pt];
    return { middle: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2] as Pt, apart: Math.max(1, Math.hypot(a[0] - b[0], a[1] - b[1])) };
  };

  return {
    down(e: PointerEvent): void {
      const at = place(e);
      fingers.set(e.pointerId, at);
      pressed = fingers.size === 1 ? { at, target: e.target instanceof Element ? e.target : null } : null;
      try {
        options.svg().setPointerCapture(e.pointerId);
      } catch {
        // The finger is up already.
      }
    },
    move(e: PointerEvent): void {
      const before = fingers.get(e.pointerId);
      if (!before) return;
      const at = place(e);
      if (pressed && Math.hypot(at[0] - pressed.at[0], at[1] - pressed.at[1]) < (e.pointerType === "mouse" ? 4 : 9)) return;
      const was = fingers.size === 2 ? pair() : null;
      const from = pressed?.at ?? before;
      pressed = null;
      fingers.set(e.pointerId, at);
      if (!was) return options.set((f) => panned(f, at[0] - from[0], at[1] - from[1]));
      const now = pair();
      options.set((f) => zoomed(panned(f, now.middle[0] - was.middle[0], now.middle[1] - was.middle[1]), now.apart / was.apart, now.middle));
    },
    up(e: PointerEvent): void {
      if (!fingers.delete(e.pointerId)) return;
      const was = pressed;
      pressed = null;
      if (was) options.click(was.target);
    },
    lost(e: PointerEvent): void {
      fingers.delete(e.pointerId);
      pressed = null;
    },
    wheel(e: WheelEvent): void {
      e.preventDefault();
      const unitPx = e.deltaMode === 1 ? 18 : e.deltaMode === 2 ? 300 : 1;
      const factor = Math.exp(-Math.max(-240, Math.min(240, e.deltaY * unitPx)) * (e.ctrlKey ? 0.008 : 0.0016));
      const at = place(e);
      options.set((f) => zoomed(f, factor, at));
    },
  };
}
