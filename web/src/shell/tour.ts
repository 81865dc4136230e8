// The first look round: once, unless it is asked for again.

import { createSignal } from "solid-js";

const KEY = "loomdeck.tour";

function seen(): boolean {
  try {
    return localStorage.getItem(KEY) === "seen";
  } catch {
    // A browser that keeps nothing would show it every time.
    return true;
  }
}

const [at, setAt] = createSignal<number | null>(seen() ? null : 0);
/** The step that is shown; `null`: none. */
export { at as tourAt };

export function startTour(): void {
  setAt(0);
}
export function goOn(to: number): void {
  setAt(to);
}
export function leaveTour(): void {
  setAt(null);
  try {
    localStorage.setItem(KEY, "seen");
  } catch {
    // It was not going to be shown again anyway.
  }
}
