// What is in the hand just now and where it is shown, whatever the study says.

import { createSignal } from "solid-js";
import type { Pt } from "../talk.ts";

export type Held = { at: Pt; turn: number };
export const [held, setHeld] = createSignal<ReadonlyMap<string, Held>>(new Map());
export const [dragging, setDragging] = createSignal(false);
