// The power diagram: what feeds what, from the battery on the left. What is chosen here is chosen on the board.

import { Show, createEffect, createMemo, createSignal, on, onCleanup, onMount, untrack } from "solid-js";
import { diagram, say, study } from "../state/desk.ts";
import { choose, chooseWire, chosen, chosenWire, goTo, setLooking, theme } from "../state/view.ts";
import { Faces } from "../board/Faces.tsx";
import { drawing } from "../drawn/drawn.ts";
import { placeOf } from "../findings/place.ts";
import { PowerCard } from "./PowerCard.tsx";
import { begun, fitted, next, showing, zoomed } from "./frame.ts";
import type { Look } from "./frame.ts";
import { createPan } from "./pan.ts";
import { thingsOf } from "./things.ts";
import type { Things } from "./things.ts";

/** At this many pixels a millimetre its letters are as large as others on the screen. */
const READABLE = 16 / 4.64;
const ARROWS: Record<string, [number, number]> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

export function Power(props: { help: () => void }) {
  let svg!: SVGSVGElement;
  let layer!: SVGGElement;
  const [look, setLook] = createSignal<Look>({ x: 0, y: 0, k: 1, w: 0, h: 0 });
  const [walked, setWalked] = createSignal<string | null>(null);
  let fittedOnce = false;

  const made = createMemo(() => {
    const text = diagram()[theme()];
    return text === "" ? null : drawing(text);
  });
  const things = createMemo<Things>(() => thingsOf(made()?.nodes ?? []));
  const walker = createMemo(() => {
    const names = things().boxes.map((b) => b.name);
    return [walked(), ...chosen(), names[0]].find((n) => n != null && names.includes(n)) ?? null;
  });

  const fit = () => {
    const d = made();
    if (d && look().w > 10) setLook((f) => fitted(f, d.box, 16, 54));
  };
  const begin = () => {
    const d = made();
    if (d && look().w > 10) setLook((f) => begun(f, d.box, 16, 54, READABLE * 0.8));
  };
  /** What is chosen here is in the picture already. */
  let own = false;
  const take = (name: string) => {
    own = true;
    setWalked(name);
    choose([name]);
    const at = placeOf("part", name) ?? placeOf("plug", name);
    if (at) goTo(at.at, at.face);
    say(`Chosen: ${name}`);
  };
  const takeWire = (names: readonly string[]) => {
    // Several wires may share a line: each click takes the next.
    const name = names[(names.indexOf(chosenWire() ?? "") + 1) % names.length];
    if (name === undefined) return;
    own = true;
    chooseWire(name);
    const at = placeOf("wire", name);
    if (at) goTo(at.at, at.face);
    say(`Chosen: wire ${name}`);
  };
  /** What is chosen elsewhere comes into the picture. */
  const bring = () => {
    const name = chosen()[0] ?? null;
    const wire = chosenWire();
    const box = name !== null ? things().boxes.find((b) => b.name === name) : undefined;
    if (box) setLook((f) => showing(f, box, READABLE * 0.7));
    const label = wire !== null ? things().lines.find((l) => l.label && l.names.includes(wire))?.element.querySelector("text") : undefined;
    const at = label && { x: Number(label.getAttribute("x")) - 20, y: Number(label.getAttribute("y")) - 10, w: 40, h: 20 };
    if (at) setLook((f) => showing(f, at, READABLE * 0.7));
  };
  const pan = createPan({
    svg: () => svg,
    set: setLook,
    click: (target) => {
      const group = target?.closest("[data-name], [data-names]");
      const name = group?.getAttribute("data-name");
      const names = group?.getAttribute("data-names")?.split("\n");
      if (name != null) take(name);
      else if (names) takeWire(names);
      else chooseWire(null);
    },
  });

  onMount(() => {
    const resize = new ResizeObserver(([entry]) => {
      const { width, height } = entry!.contentRect;
      if (width < 10 || height < 10) return;
      setLook((f) => ({ ...f, w: width, h: height }));
      if (!fittedOnce && made()) {
        fittedOnce = true;
        begin();
        bring();
      }
    });
    resize.observe(svg);
    svg.addEventListener("wheel", pan.wheel, { passive: false });
    onCleanup(() => resize.disconnect());
  });
  createEffect(() => {
    layer.replaceChildren(...(made()?.nodes ?? []));
    if (made() && !fittedOnce && untrack(look).w > 10) {
      fittedOnce = true;
      untrack(() => {
        begin();
        bring();
      });
    }
  });

  createEffect(on([chosen, chosenWire], () => untrack(() => {
    if (look().w > 10 && !own) bring();
    own = false;
  }), { defer: true }));
  createEffect(() => {
    const [names, wire, at] = [chosen(), chosenWire(), walker()];
    for (const { name, element } of things().boxes) {
      element.classList.toggle("chosen", names.includes(name));
      element.setAttribute("role", "button");
      element.setAttribute("tabindex", name === at ? "0" : "-1");
      element.setAttribute("aria-pressed", String(names.includes(name)));
      // The title names it, for a pointer and for who listens.
      const title = element.querySelector("title");
      if (title && title.textContent !== spoken(name)) title.textContent = spoken(name);
    }
    for (const { names: of, element } of things().lines) element.classList.toggle("chosen", wire !== null && of.includes(wire));
  });

  const keys = (e: KeyboardEvent) => {
    if (e.defaultPrevented || e.ctrlKey || e.metaKey || e.altKey) return;
    const arrow = ARROWS[e.key];
    const at = (e.target as Element).getAttribute("data-name");
    if (arrow) {
      e.preventDefault();
      const to = at === null ? walker() : next(things().boxes, at, arrow[0], arrow[1]);
      const box = things().boxes.find((b) => b.name === to);
      if (!box) return;
      setWalked(box.name);
      setLook((f) => showing(f, box, f.k));
      box.element.focus({ preventScroll: true });
      return;
    }
    switch (e.key) {
      case "Enter":
      case " ":
        if (at === null) return;
        e.preventDefault();
        if (chosen().includes(at)) choose([]);
        else take(at);
        return;
      case "Escape": e.preventDefault(); chooseWire(null); return;
      case "f": case "F": case "0": e.preventDefault(); fit(); return;
      case "t": case "T": e.preventDefault(); setLooking("board"); return;
      case "+": case "=": zoom(1.25); return;
      case "-": zoom(0.8); return;
      case "?": props.help(); return;
    }
  };
  const zoom = (factor: number) => setLook((f) => zoomed(f, factor, [f.w / 2, f.h / 2]));

  return (
    <section class="board power" aria-label="Power diagram">
      <svg
        ref={svg} class="diagram" role="group" tabindex={things().boxes.length > 0 ? undefined : 0}
        aria-label="Power diagram, from the battery on the left to what it feeds. Arrows walk from box to box, Enter chooses one."
        onPointerDown={pan.down} onPointerMove={pan.move} onPointerUp={pan.up} onPointerCancel={pan.lost} onKeyDown={keys}
      >
        <g ref={layer} transform={`matrix(${look().k} 0 0 ${look().k} ${-look().x * look().k} ${-look().y * look().k})`} />
      </svg>
      <div class="tools" role="toolbar" aria-label="Power diagram">
        <Faces />
        <span class="gap" />
        <div class="pair" role="group" aria-label="Nearer and farther">
          <button type="button" aria-label="Farther" title="Farther (−)" onClick={() => zoom(0.8)}>−</button>
          <button type="button" title="Show the whole diagram (F)" onClick={fit}>Fit</button>
          <button type="button" aria-label="Nearer" title="Nearer (+)" onClick={() => zoom(1.25)}>+</button>
        </div>
        <button type="button" class="wide-only" aria-label="Keys" title="Keys (?)" onClick={() => props.help()}>?</button>
      </div>
      <Show when={things().boxes.length === 0}>
        <p class="power-none">{diagram()[theme()] === "" || made() ? (study.wires.length === 0 || made() ? "Nothing is wired yet. When the first wire carries power, it is drawn here: the battery on the left, what it feeds to the right." : "The diagram is drawn as soon as your hand rests …") : "This diagram cannot be shown here; it stands in the book."}</p>
      </Show>
      <Show when={things().boxes.length > 0 && look().k < READABLE * 0.55 && chosen().length === 0 && chosenWire() === null}>
        <p class="far-hint">Come nearer to read, or touch a box or a line.</p>
      </Show>
      <PowerCard there={(name) => things().boxes.some((b) => b.name === name)} drawn={(wire) => things().lines.some((l) => l.names.includes(wire))} />
    </section>
  );
}

function spoken(name: string): string {
  const count = study.wires.filter((w) => w.from.split(".")[0] === name || w.to.split(".")[0] === name).length;
  const part = study.parts.find((p) => p.name === name)?.title ?? study.off_board.find((p) => p.name === name)?.title;
  return `${name}${part ? `, ${part}` : ", plug"}, ${count} wires`;
}
