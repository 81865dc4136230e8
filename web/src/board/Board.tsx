// The board: true to size, with everything on the face you look at.

import { Show, createEffect, onCleanup, onMount, untrack } from "solid-js";
import { study } from "../state/desk.ts";
import {
  chosen, chosenWire, face, frame, goal, narrow, setFrame, setGoal, shown, tool, turnOver, turning,
} from "../state/view.ts";
import { Making } from "../editing/Making.tsx";
import { Chosen } from "./Chosen.tsx";
import { FarParts, NearParts } from "./Parts.tsx";
import { MarkPatterns, Marks } from "./Marks.tsx";
import { Rooms, RoomsTold } from "./Rooms.tsx";
import { NoBoard, NoParts } from "./Begin.tsx";
import { HolesView, SheetView } from "./Sheet.tsx";
import { chosenPass, passNamed } from "../editing/openings.ts";
import { called, thingOf } from "../state/things.ts";
import { FAR_K, Labels } from "./Labels.tsx";
import { Looms, Wires } from "./Wires.tsx";
import { Measures } from "./Measures.tsx";
import { Over } from "./Over.tsx";
import { RULER, Rulers } from "./Rulers.tsx";
import { Tools } from "./Tools.tsx";
import { fitted, showing, sized } from "./frame.ts";
import { boxOf, join, middle } from "./geometry.ts";
import { createKeys } from "./keys.ts";
import { createPointer } from "./pointer.ts";
import { setWalked } from "./walk.ts";

export function Board(props: { help: () => void }) {
  let svg!: SVGSVGElement;
  // Coming back from the power diagram, the board lies as it was left.
  let fittedOnce = untrack(frame).w > 10;
  const pointer = createPointer(() => svg);

  const fit = () => {
    const boxes = [
      ...(study.sheet ? [boxOf(study.sheet.outline)] : []),
      ...[...study.parts, ...study.plugs].filter((p) => p.outline.length > 0).map((p) => boxOf(p.outline)),
    ];
    if (boxes.length === 0) return;
    const small = narrow();
    setFrame((f) => fitted(f, boxes.reduce(join), small ? 8 : 40, small ? 56 : 66, small ? 12 : 92));
  };
  const keys = createKeys({
    fit,
    cancel: () => {
      const was = pointer.carrying();
      pointer.cancel();
      return was;
    },
    focus: (key) => {
      const thing = thingOf(key) ?? passNamed(called(key));
      if (thing) setFrame((f) => showing(f, middle(boxOf(thing.outline)), f.k));
      queueMicrotask(() => svg.querySelector<SVGGElement>(`[data-walk="${CSS.escape(key)}"]`)?.focus());
    },
    tags: () => [...svg.querySelectorAll<SVGGElement>("[data-finding]")].sort((a, b) => Number(a.dataset["number"]) - Number(b.dataset["number"])),
    help: props.help,
  });

  onMount(() => {
    const resize = new ResizeObserver(([entry]) => {
      const { width, height } = entry!.contentRect;
      if (width < 10 || height < 10) return;
      setFrame((f) => sized(f, width, height, RULER));
      if (!fittedOnce && study.sheet) {
        fittedOnce = true;
        fit();
      }
    });
    resize.observe(svg);
    svg.addEventListener("wheel", pointer.wheel, { passive: false });
    onCleanup(() => resize.disconnect());
  });
  createEffect(() => {
    if (study.sheet && !fittedOnce && untrack(frame).w > 10) {
      fittedOnce = true;
      untrack(fit);
    }
  });
  createEffect(() => {
    const to = goal();
    if (!to) return;
    setGoal(null);
    untrack(() => {
      if (to.face !== face()) turnOver(to.face);
      const go = () => setFrame((f) => showing(f, to.at, f.k < FAR_K ? 1 : f.k));
      if (turning()) setTimeout(go, 440);
      else go();
    });
  });

  const world = () => {
    const f = frame();
    return `matrix(${f.k * f.m} 0 0 ${-f.k} ${f.mx - f.cx * f.k * f.m} ${f.my + f.cy * f.k})`;
  };

  return (
    <section class="board" aria-label="Board">
      <svg
        ref={svg}
        class="drawing"
        classList={{ measuring: tool() !== "hand", wiring: tool() === "wire" }}
        role="group"
        aria-label={`The board's ${face()}, as seen looking at it. Arrows walk from part to part, Enter takes one in hand; Tab goes on to the findings' tags.`}
        onPointerDown={pointer.down}
        onPointerMove={pointer.move}
        onPointerUp={pointer.up}
        onPointerCancel={pointer.lost}
        onContextMenu={(e) => e.preventDefault()}
        onKeyDown={keys.down}
        onFocusIn={(e) => {
          // A reading aid, or a click, goes anywhere; the keys are then for what is there.
          const key = e.target.closest("[data-walk]")?.getAttribute("data-walk");
          if (key) setWalked(key);
        }}
        onFocusOut={(e) => {
          if (!svg.contains(e.relatedTarget as Node | null)) keys.rest();
        }}
      >
        <defs>
          <pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <path class="hatch" d="M0 0V6" />
          </pattern>
          <MarkPatterns />
        </defs>
        <g transform={world()}>
          <SheetView />
          <FarParts />
          <Wires far />
          <Looms far />
          <NearParts />
          <Rooms />
          <Wires />
          <Looms />
          <HolesView />
          <Marks />
        </g>
        <Labels />
        <Rulers />
        <Over />
      </svg>
      <RoomsTold />
      <Tools fit={fit} zoom={keys.zoom} help={props.help} />
      <Show when={study.sheet && shown().has("names") && frame().k < FAR_K && chosen().length === 0 && chosenWire() === null && chosenPass() === null && tool() === "hand"}>
        <p class="far-hint">Come nearer to read the names, or touch a part.</p>
      </Show>
      <Show when={tool() === "measure"} fallback={<Show when={tool() === "hand"} fallback={<Making />}><Chosen /></Show>}>
        <Measures />
      </Show>
      <Show when={study.robot && !study.sheet}>
        <NoBoard />
      </Show>
      <Show when={study.sheet && study.parts.length === 0 && study.plugs.length === 0 && tool() === "hand"}>
        <NoParts />
      </Show>
    </section>
  );
}
