// The order of work and the drill plan: one step or stage open at a time, with its picture.

import { For, Index, Show, createMemo, createSignal } from "solid-js";
import type { MakeOn, StageOn, StepOn } from "../talk.ts";
import { making, rev, ticks } from "../state/desk.ts";
import { choose, chooseWire, goTo } from "../state/view.ts";
import { Pictured } from "../drawn/Drawn.tsx";
import { placeOf } from "../findings/place.ts";
import { Said } from "../words/Said.tsx";
import { TickBox } from "./Make.tsx";
import { saidOf } from "./ticks.ts";

const [openStep, setOpenStep] = createSignal<string | null>(null);
const [openStage, setOpenStage] = createSignal<string | null>(null);

/** Pictures are of the robot as this list was told of it. */
function createOf() {
  let version = 0;
  return createMemo(() => {
    making();
    return `${rev()} ${++version}`;
  });
}

export function Steps(props: { make: MakeOn }) {
  const of = createOf();
  const groups = createMemo(() => {
    const all: { group: string; steps: StepOn[] }[] = [];
    for (const s of props.make.steps) {
      const last = all[all.length - 1];
      if (last?.group === s.group) last.steps.push(s);
      else all.push({ group: s.group, steps: [s] });
    }
    return all;
  });
  const after = (key: string) => props.make.steps[props.make.steps.findIndex((s) => s.key === key) + 1];
  return (
    <Show when={props.make.steps.length > 0} fallback={<p class="empty">There is nothing to build yet. As soon as parts sit on a board, the order of work stands here, step by step with pictures.</p>}>
      <For each={groups()}>
        {(g) => (
          <section class="work">
            <h3>{g.group}</h3>
            <Index each={g.steps}>
              {(s) => (
                <article class="step" classList={{ open: openStep() === s().key, ticked: saidOf(ticks().ticks, "step", s().key) !== undefined }}>
                  <div class="step-head">
                    <TickBox list="step" item={{ key: s().key, said: "" }} label={`Step ${s().number} is done`} />
                    <button type="button" class="step-name-button" aria-expanded={openStep() === s().key} onClick={() => setOpenStep(openStep() === s().key ? null : s().key)}>
                      <b>{s().number}</b> <Said text={s().heading} />
                    </button>
                  </div>
                  <Show when={openStep() === s().key}>
                    <Step step={s()} of={of()} next={after(s().key)} />
                  </Show>
                </article>
              )}
            </Index>
          </section>
        )}
      </For>
    </Show>
  );
}

function Step(props: { step: StepOn; of: string; next: StepOn | undefined }) {
  const s = () => props.step;
  const onBoard = () => {
    const parts = s().parts.filter((p) => placeOf("part", p) ?? placeOf("plug", p));
    const at = parts.length > 0 ? placeOf("part", parts[0]!) ?? placeOf("plug", parts[0]!) : s().wires[0] !== undefined ? placeOf("wire", s().wires[0]!) : null;
    if (!at) return null;
    return () => {
      if (parts.length > 0) choose(parts);
      else chooseWire(s().wires[0]!);
      goTo(at.at, at.face);
    };
  };
  return (
    <div class="step-more">
      <Show when={s().turn}><p><b>{s().turn}</b></p></Show>
      <Pictured name={`step-${s().number}`} of={props.of} words={`Step ${s().number}: ${s().heading}`} />
      <For each={s().words}>{(w) => <p><Said text={w} /></p>}</For>
      <Facts name="With" words={s().tools} />
      <Facts name="Screws" words={s().hardware} />
      <Facts name="Tighten" words={s().torques} />
      <Show when={s().stages.length > 0}><p class="quiet">Stages {s().stages.join(", ")} of the drill plan.</p></Show>
      <For each={s().watch}>{(w) => <p class="watch"><b>Watch</b> <Said text={w} /></p>}</For>
      <For each={s().cautions}>{(w) => <p class="watch danger"><b>Mind</b> <Said text={w} /></p>}</For>
      <div class="fields">
        <Show when={onBoard()}>{(go) => <button type="button" onClick={() => go()()}>Show on the board</button>}</Show>
        <Show when={props.next}>{(n) => <button type="button" onClick={() => setOpenStep(n().key)}>Go on to step {n().number}</button>}</Show>
      </div>
    </div>
  );
}

function Facts(props: { name: string; words: string[] }) {
  return <Show when={props.words.length > 0}><p><span class="quiet">{props.name}: </span>{props.words.join(", ")}</p></Show>;
}

export function Stages(props: { make: MakeOn }) {
  const of = createOf();
  return (
    <Show when={props.make.stages.length > 0} fallback={<p class="empty">There is nothing to drill yet. Give the robot a board and parts on it: every hole stands here, tool by tool, in an order with little walking.</p>}>
      <p class="quiet">Distances: {props.make.measured}. The template in the book has every hole at full size.</p>
      <Index each={props.make.stages}>
        {(s) => (
          <article class="step" classList={{ open: openStage() === s().key, ticked: saidOf(ticks().ticks, "stage", s().key) !== undefined }}>
            <div class="step-head">
              <TickBox list="stage" item={{ key: s().key, said: "" }} label={`Stage ${s().number} is done`} />
              <button type="button" class="step-name-button" aria-expanded={openStage() === s().key} onClick={() => setOpenStage(openStage() === s().key ? null : s().key)}>
                <b>{s().number}</b> {s().work} <span class="quiet">{s().tool}, {s().count} {s().count === 1 ? "place" : "places"}, {s().lies}</span>
              </button>
            </div>
            <Show when={openStage() === s().key}><Stage stage={s()} of={of()} /></Show>
          </article>
        )}
      </Index>
    </Show>
  );
}

function Stage(props: { stage: StageOn; of: string }) {
  const s = () => props.stage;
  return (
    <div class="step-more">
      <Show when={s().turn_over}><p><b>Turn the board first: {s().lies}.</b></p></Show>
      <Pictured name={`drill-${s().number}`} of={props.of} words={`The way over the holes of stage ${s().number}`} />
      <For each={s().stops}>{(stops) => <p>{stops.startsWith("the outer edge") ? "" : "Holes "}{stops}</p>}</For>
      <Show when={s().rpm}>{(rpm) => <p>Start at {rpm()[0] === rpm()[1] ? rpm()[0] : `${rpm()[0]} to ${rpm()[1]}`} turns a minute.</p>}</Show>
      <Show when={s().backing}><p class="backing">{s().backing}</p></Show>
      <For each={s().cautions}>{(w) => <p class="watch"><b>Mind</b> <Said text={w} /></p>}</For>
    </div>
  );
}
