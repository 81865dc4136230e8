// What is printed: open it beside the desk, or keep it as a file.

import { For, Match, Show, Switch, createSignal } from "solid-js";
import { study } from "../state/desk.ts";
import { download, fileName, size } from "./papers.ts";
import type { Fetching } from "./papers.ts";

type Paper = { name: string; title: string; words: string; opens: boolean };
const PAPERS: readonly Paper[] = [
  { name: "book.pdf", title: "Build book", words: "everything in order: findings, drawings, tables, order of work, service card", opens: true },
  { name: "template.pdf", title: "Drilling templates", words: "both faces at full size, in sheets to join, with a scale to check", opens: true },
  { name: "front.dxf", title: "Front for a cutter", words: "DXF, millimetres", opens: false },
  { name: "back.dxf", title: "Back for a cutter", words: "DXF, millimetres", opens: false },
  { name: "holes.csv", title: "Holes", words: "table", opens: false },
  { name: "drill-plan.csv", title: "Drill plan", words: "table", opens: false },
  { name: "cutlist.csv", title: "Wires to cut", words: "table", opens: false },
  { name: "labels.csv", title: "Labels for wires", words: "table", opens: false },
  { name: "fasteners.csv", title: "Screws", words: "table", opens: false },
  { name: "shopping.csv", title: "Shopping", words: "table", opens: false },
];

export function Papers(props: { paper: string }) {
  return (
    <>
      <p>Set for <b>{props.paper === "A4" ? "A4" : "letter"}</b> paper, lengths in {study.robot?.unit === "inch" ? "inches" : "millimetres"}, as the robot says. Another choice goes into <code>robot.toml</code>:</p>
      <pre>{`[book]\npaper = "${props.paper === "A4" ? "letter" : "a4"}"`}</pre>
      <For each={PAPERS}>{(p) => <One paper={p} />}</For>
    </>
  );
}

function One(props: { paper: Paper }) {
  const [now, setNow] = createSignal<Fetching | null>(null);
  const path = () => `/paper/${props.paper.name}`;
  const busy = () => now()?.state === "setting" || now()?.state === "coming";
  const get = () => {
    if (!busy()) void download(path(), fileName(study.robot?.name ?? "", props.paper.name), setNow);
  };
  return (
    <article class="paper">
      <h3>{props.paper.title}</h3>
      <p class="quiet">{props.paper.words}</p>
      <div class="fields">
        <Show when={props.paper.opens}>
          <a class="button" href={path()} target="_blank" rel="noopener noreferrer">Open beside the desk</a>
        </Show>
        <button type="button" aria-disabled={busy()} onClick={get}>Keep as a file</button>
      </div>
      <p class="paper-state" role="status">
        <Switch>
          <Match when={now()?.state === "setting"}>{props.paper.name === "book.pdf" ? "The book is being set …" : "Being made …"} <progress aria-label={props.paper.title} /></Match>
          <Match when={now()?.state === "coming" && (now() as { share: number | null })}>{(n) => <>Coming in … <progress aria-label={props.paper.title} max="1" value={n().share ?? undefined} /></>}</Match>
          <Match when={now()?.state === "done" && (now() as { bytes: number })}>{(n) => <>Kept, {size(n().bytes)}: your browser knows where.</>}</Match>
          <Match when={now()?.state === "failed" && (now() as { why: string })}>{(n) => <>{n().why}</>}</Match>
        </Switch>
      </p>
    </article>
  );
}
