// What a finding is about, drawn where it happens: where two things want the same place, where a tool would
// stand, a distance that is too small. The study works it out; here it is drawn.

import { For, Show, createMemo } from "solid-js";
import type { FindingOn, MarkOn, Pt, Severity } from "../talk.ts";
import { study } from "../state/desk.ts";
import { held } from "../state/held.ts";
import { called, subjectOf } from "../state/things.ts";
import { chosen, face, frame, openFinding, shown, unit } from "../state/view.ts";
import type { Box } from "./geometry.ts";
import { boxOf, distance, middle, outlinePath, overlaps } from "./geometry.ts";
import { RANK, betweenWhat, worded } from "./marks.ts";
import type { Drawn } from "./marks.ts";
import { width } from "./words.ts";
import { length } from "../words/numbers.ts";

/** It concerns what is in hand or chosen, or is open in the list. */
function isNear(f: FindingOn, names: ReadonlySet<string>): boolean {
  return openFinding() === f.key || f.subjects.some((s) => names.has(`${s.kind} ${s.name}`));
}

/** Marks of the face you look at, the worst last. Places to be kept free only of what you are busy with. */
const drawn = createMemo<Drawn[]>(() => {
  if (!shown().has("tags")) return [];
  const names = new Set([...held().keys(), ...chosen()].map((key) => `${subjectOf(key).kind} ${called(key)}`));
  const out: Drawn[] = [];
  for (const f of study.findings) {
    if (!f.marks) continue;
    const near = isNear(f, names);
    for (const mark of f.marks) {
      if (mark.face === face() && (near || mark.kind !== "room")) out.push({ key: f.key, severity: f.severity, mark, near, between: betweenWhat(f) });
    }
  }
  return out.sort((a, b) => RANK.indexOf(a.severity) - RANK.indexOf(b.severity));
});

export function MarkPatterns() {
  return (
    <For each={RANK}>
      {(s) => (
        <pattern id={`hatch-${s}`} width="7" height="7" patternUnits="userSpaceOnUse" patternTransform={`scale(${1 / frame().k}) rotate(45)`}>
          <path class={`mark-hatch ${s}`} d="M3.5 0V7" />
        </pattern>
      )}
    </For>
  );
}

/** In the board's frame, below wires and names. */
export function Marks() {
  return (
    <g class="marks" aria-hidden="true">
      <For each={drawn()}>
        {(d) => (
          <Show when={d.mark.kind !== "span"} fallback={<Span mark={d.mark} severity={d.severity} />}>
            <path
              class={`mark-${d.mark.kind} ${d.severity}`} d={outlinePath(d.mark.points)}
              fill={d.mark.kind === "clash" ? `url(#hatch-${d.severity})` : "none"}
            />
          </Show>
        )}
      </For>
    </g>
  );
}

/** A dimension line with short strokes square to it at both ends. */
function Span(props: { mark: MarkOn; severity: Severity }) {
  const path = () => {
    const [a, b] = props.mark.points as [Pt, Pt];
    const long = distance(a, b);
    const end = 6 / frame().k;
    const [ux, uy] = long > 1e-6 ? [((b[1] - a[1]) / long) * end, (-(b[0] - a[0]) / long) * end] : [end, 0];
    const stroke = ([x, y]: Pt) => `M${x - ux} ${y - uy}L${x + ux} ${y + uy}`;
    return `M${a[0]} ${a[1]}L${b[0]} ${b[1]}${stroke(a)}${stroke(b)}`;
  };
  return <path class={`mark-span ${props.severity}`} d={path()} />;
}

/**
 * What stands beside the marks of what you are busy with, over everything, in the labels' frame. Clear of the tags where
 * there is room, so that their numbers can be read.
 */
export function MarkWords(props: { scaled: (p: Pt) => Pt; tags: readonly Box[] }) {
  const words = createMemo(() => {
    const out: { text: string; at: Pt; severity: Severity }[] = [];
    const taken: Box[] = [...props.tags];
    for (const d of worded(drawn(), openFinding())) {
      const box = boxOf(d.mark.points.map(props.scaled));
      const text = inUnit(d.mark.words);
      const [w, h] = [width(text) / 2 + 5, 12];
      const [x, y] = middle(box);
      const spots: Pt[] = [15, 38, 61].flatMap((off): Pt[] => [
        [x, box.y1 + off], [x, box.y0 - off], [box.x1 + w + off - 10, y], [box.x0 - w - off + 10, y],
      ]);
      const around = ([cx, cy]: Pt): Box => ({ x0: cx - w, x1: cx + w, y0: cy - h, y1: cy + h });
      const at = spots.find((s) => !taken.some((t) => overlaps(t, around(s)))) ?? spots[0]!;
      taken.push(around(at));
      out.push({ text, at, severity: d.severity });
    }
    return out;
  });
  return (
    <g class="mark-words" aria-hidden="true">
      <For each={words()}>
        {(w) => (
          <g class={w.severity} transform={`translate(${w.at[0]} ${w.at[1]})`}>
            <rect x={-width(w.text) / 2 - 4} y="-11" width={width(w.text) + 8} height="22" rx="3" />
            <text y="5.5" text-anchor="middle">{w.text}</text>
          </g>
        )}
      </For>
    </g>
  );
}

/** Lengths come in the robot's unit; the builder may have chosen to read the other. */
function inUnit(text: string): string {
  const m = /^(-?[\d.]+)[\s\u2009\u202f](mm|in)(.*)$/u.exec(text);
  if (!m) return text;
  const mm = m[2] === "mm" ? Number(m[1]) : Number(m[1]) * 25.4;
  return Number.isFinite(mm) ? `${length(mm, unit())}${m[3]}` : text;
}
