// The first look round, in five short steps beside the desk; it can be left at any time, and the desk used meanwhile.

import { Show, createEffect, createMemo, createSignal, on, onCleanup, onMount } from "solid-js";
import { mayEdit } from "../state/desk.ts";
import { narrow, setPhoneSide } from "../state/view.ts";
import { goOn, leaveTour, tourAt } from "./tour.ts";

type Step = {
  of: string; phone: string; heading: string; words: string;
  /** For who may look only. */
  looking?: string;
};
const STEPS: readonly Step[] = [
  { of: ".sheet-face, .empty-board, .board", phone: ".board", heading: "This is your board", words: "It is drawn true to size, as seen looking at it. Take a part and drag it: wires, lengths and findings follow. What you do is saved at once, and Undo takes it back, as far back as you like.", looking: "It is drawn true to size, as seen looking at it. Touch a part or a wire to read about it; wheel or two fingers bring you nearer. What others change shows here at once." },
  { of: ".pages button:nth-child(1)", phone: ".phone-bar button:nth-child(2)", heading: "What was found", words: "Round tags on the board carry the numbers of this list. Open one to read why, and what to do; you see what a remedy leads to before you take it.", looking: "Round tags on the board carry the numbers of this list. Open one to read why, and what to do." },
  { of: ".pages button:nth-child(2)", phone: ".phone-bar button:nth-child(3)", heading: "What happens", words: "Choose a situation and the wires take the colour of their load. Slide charge and speed and watch; nothing of that is kept.", looking: "Choose a situation and the wires take the colour of their load; every current, voltage and temperature stands in the lists." },
  { of: "[aria-label='View'] button:last-child", phone: "[aria-label='View'] button:last-child", heading: "What feeds what", words: "Power shows the same robot from the battery to the last motor. What you choose there is chosen on the board too." },
  { of: ".pages button:last-child", phone: ".phone-bar button:last-child", heading: "Go and make it", words: "Order of work with pictures, drilling, cutting, screws, shopping: tick off what is done. Book and templates come from here. “?” brings this tour back." },
];

export function Tour() {
  return (
    <Show when={tourAt() !== null}>
      <Card />
    </Show>
  );
}

function Card() {
  let card!: HTMLElement;
  const at = () => Math.min(tourAt() ?? 0, STEPS.length - 1);
  const step = createMemo(() => STEPS[at()]!);
  const last = () => at() === STEPS.length - 1;
  const [ring, setRing] = createSignal<DOMRect | null>(null);
  const look = () => {
    const wanted = (narrow() ? step().phone : step().of).split(", ");
    // The first of them that is there.
    const there = wanted.map((w) => document.querySelector(w)).find((e) => e !== null && e.getBoundingClientRect().width > 0);
    setRing(there?.getBoundingClientRect() ?? null);
  };
  createEffect(on(tourAt, () => {
    if (narrow()) setPhoneSide("board");
    queueMicrotask(look);
  }));
  onMount(() => {
    addEventListener("resize", look);
    const timer = setInterval(look, 500);
    const keys = (e: KeyboardEvent) => {
      if (e.key === "Escape" && card.contains(document.activeElement)) {
        e.stopPropagation();
        leaveTour();
      }
    };
    addEventListener("keydown", keys, true);
    onCleanup(() => {
      removeEventListener("resize", look);
      removeEventListener("keydown", keys, true);
      clearInterval(timer);
    });
  });
  const go = (to: number) => {
    goOn(to);
    card.querySelector<HTMLElement>(".main")?.focus();
  };
  return (
    <>
      <Show when={ring()}>
        {(r) => <div class="tour-ring" aria-hidden="true" style={{ left: `${r().left - 4}px`, top: `${r().top - 4}px`, width: `${r().width + 8}px`, height: `${r().height + 8}px` }} />}
      </Show>
      <section ref={card} class="tour" aria-labelledby="tour-title">
        <h2 id="tour-title">{step().heading} <small>{at() + 1} of {STEPS.length}</small></h2>
        <p aria-live="polite">{mayEdit() ? step().words : step().looking ?? step().words}</p>
        <div class="fields">
          <button type="button" class="main" onClick={() => (last() ? leaveTour() : go(at() + 1))}>{last() ? "Begin" : "Next"}</button>
          <Show when={at() > 0}><button type="button" onClick={() => go(at() - 1)}>Back</button></Show>
          <span class="gap" />
          <Show when={!last()}><button type="button" onClick={leaveTour}>Leave the tour</button></Show>
        </div>
      </section>
    </>
  );
}
