// Names, tags and values over the drawing, placed so that none lies on another.

import { For, Show, createMemo } from "solid-js";
import type { Pt, Severity } from "../talk.ts";
import { study } from "../state/desk.ts";
import { dragging, held } from "../state/held.ts";
import { thingOf } from "../state/things.ts";
import {
  chosen, face, frame, groups, narrow, openFinding, pointed, setOpenFinding, setPage, shown, situation, turning, unit,
} from "../state/view.ts";
import { heatWords, worthSaying } from "../situations/heat.ts";
import { lengthNumber } from "../words/numbers.ts";
import { along, boxOf, grown, join, moved } from "./geometry.ts";
import type { Box } from "./geometry.ts";
import { Taken, placeNames, placeTags } from "./labels.ts";
import type { NameAt, TagAt } from "./labels.ts";
import { MarkWords } from "./Marks.tsx";
import { atOf } from "./place.ts";
import { setWalkedTag, walkedTag } from "./walk.ts";
import { fonts, width } from "./words.ts";

const LINE = 17;
const TAG = 14;
/** Pixels a millimetre below which there is room for little. */
export const FAR_K = 0.65;

type Value = { name: string; text: string; at: Pt; spot: Pt };
type TagOn = TagAt & { severity: Severity; what: string };
type Layout = { names: NameAt[]; tags: TagOn[]; values: Value[]; left: number };

export function Labels() {
  const scaled = (p: Pt | readonly [number, number]): Pt => {
    const f = frame();
    return [p[0] * f.k * (f.m < 0 ? -1 : 1), -p[1] * f.k];
  };
  const boxScaled = (b: Box): Box => boxOf([scaled([b.x0, b.y0]), scaled([b.x1, b.y1])]);
  const zoom = createMemo(() => `${frame().k} ${Math.sign(frame().m)}`);
  let before = new Map<string, Pt>();

  const layout = createMemo<Layout>((last) => {
    zoom();
    fonts();
    if (dragging() || turning()) return last;
    const taken = new Taken();
    // Seen from far there is room for little: names that fit into their parts, and the worst findings.
    const far = frame().k < FAR_K;
    const things = [
      ...study.parts.filter((p) => p.face === face()).map((p) => ({
        name: p.name, box: boxOf(p.outline),
        text: shown().has("heights") ? `${p.name} ↕${lengthNumber(p.height_mm, unit())}` : p.name,
      })),
      ...study.plugs.filter((p) => p.face === face()).map((p) => ({ name: p.name, box: boxOf(p.outline), text: p.name })),
    ];
    const whole = [...things.map((t) => t.box), ...(study.sheet ? [boxOf(study.sheet.outline)] : [])];
    const bounds = grown(boxScaled(whole.length > 0 ? whole.reduce(join) : { x0: 0, y0: 0, x1: 1, y1: 1 }), narrow() ? 4 : 30);
    const byText = new Map(things.map((t) => [t.text, t.name]));
    const numbered = groups().flatMap((g) => g.items).filter((i) => i.finding.spot?.face === face());
    // Names keep off the spots that tags point at, where they can.
    const spots = new Taken();
    if (shown().has("tags")) {
      for (const i of numbered) {
        const [x, y] = scaled(i.finding.spot!.at_mm);
        spots.add({ x0: x - 5, x1: x + 5, y0: y - 5, y1: y + 5 });
      }
    }
    const names = shown().has("names")
      ? placeNames(things.map((t) => ({ name: t.text, box: boxScaled(t.box) })), taken, width, LINE, { bounds, shy: spots, insideOnly: far, walls: walls() })
        .map((n) => ({ ...n, name: byText.get(n.name) ?? n.name }))
      : [];
    const rank = ["danger", "fix", "look", "note"];
    const first = openFinding();
    numbered.sort((a, b) => Number(b.finding.key === first) - Number(a.finding.key === first) || rank.indexOf(a.finding.severity) - rank.indexOf(b.finding.severity) || a.number - b.number);
    const byKey = new Map(numbered.map((i) => [i.finding.key, i.finding]));
    const tags = shown().has("tags")
      ? placeTags(
        numbered.filter((i) => !far || i.finding.key === first || i.finding.severity === "danger" || i.finding.severity === "fix").map((i) => ({ key: i.finding.key, number: String(i.number), spot: scaled(i.finding.spot!.at_mm) })),
        taken, TAG, before, bounds,
      ).map((t) => ({ ...t, severity: byKey.get(t.key)!.severity, what: byKey.get(t.key)!.what }))
      : [];
    // Tags of the other face stay where they were, for when it is turned back.
    before = new Map([...before, ...tags.map((t) => [t.key, [t.at[0] - t.spot[0], t.at[1] - t.spot[1]] as Pt] as const)]);
    return { names, tags, values: values(taken), left: numbered.length - tags.length };
  }, { names: [], tags: [], values: [], left: 0 });

  /** The edges of the sheet, as thin boxes. */
  function walls(): Box[] {
    const points = (study.sheet?.outline ?? []).map((p) => scaled(p));
    return points.map((p, i) => grown(boxOf([p, points[(i + 1) % points.length]!]), 1));
  }

  function values(taken: Taken): Value[] {
    const now = situation();
    if (!now || !shown().has("wires")) return [];
    const out: Value[] = [];
    const drawn = new Set(study.wires.filter((w) => w.legs.some((l) => l.face === face())).map((w) => w.name));
    for (const row of worthSaying(now.wires, drawn)) {
      const text = heatWords(row);
      const legs = study.wires.find((w) => w.name === row.name)?.legs.filter((l) => l.face === face()) ?? [];
      if (text === "" || out.some((o) => o.name === row.name)) continue;
      place: for (const leg of legs) {
        for (const share of [0.5, 0.3, 0.7, 0.15, 0.85]) {
          const at = scaled(along(leg.points, share));
          const half = width(text) / 2 + 5;
          const box = { x0: at[0] - half, x1: at[0] + half, y0: at[1] - 11, y1: at[1] + 11 };
          if (!taken.free(box)) continue;
          taken.add(box);
          out.push({ name: row.name, text, at, spot: at });
          break place;
        }
      }
    }
    return out;
  }

  // By key, so that a tag keeps its focus when others come and go. While the hand moves, the tags are not laid anew, but
  // each goes along with its place and carries the number it has now; one that is mended goes.
  const tags = createMemo(() => {
    const now = new Map(groups().flatMap((g) => g.items).map((i) => [i.finding.key, i]));
    const out = new Map<string, TagOn>();
    for (const t of layout().tags) {
      const item = now.get(t.key);
      if (!item?.finding.spot || item.finding.spot.face !== face()) continue;
      const spot = scaled(item.finding.spot.at_mm);
      const [dx, dy] = [spot[0] - t.spot[0], spot[1] - t.spot[1]];
      out.set(t.key, { ...t, number: String(item.number), severity: item.finding.severity, what: item.finding.what, spot, at: [t.at[0] + dx, t.at[1] + dy], box: moved(t.box, dx, dy) });
    }
    return out;
  });
  const all = createMemo(() => [...tags().values()]);
  const keys = createMemo(() => [...tags().keys()]);
  /** The tag that Tab reaches. */
  const reached = createMemo(() => {
    const walked = walkedTag();
    if (walked !== null && tags().has(walked)) return walked;
    return all().reduce<TagOn | null>((a, t) => (a === null || Number(t.number) < Number(a.number) ? t : a), null)?.key ?? null;
  });
  const origin = () => {
    const f = frame();
    return `translate(${f.mx - f.cx * f.k * f.m} ${f.my + f.cy * f.k})`;
  };
  // A name goes along with its part while that is in the hand.
  const along_ = (name: string) => {
    const part = held().has(name) ? thingOf(name) : undefined;
    if (!part) return undefined;
    const f = frame();
    const start = placedAt().get(name) ?? [part.at_mm[0], part.at_mm[1]];
    const at = atOf(part);
    return `translate(${(at[0] - start[0]) * f.k * Math.sign(f.m)} ${-(at[1] - start[1]) * f.k})`;
  };
  const placedAt = createMemo<ReadonlyMap<string, Pt>>(() => {
    layout();
    return new Map([...study.parts, ...study.plugs].map((p) => [p.name, [p.at_mm[0], p.at_mm[1]] as Pt]));
  }, new Map<string, Pt>(), { equals: () => dragging() });

  return (
    <g class="labels" classList={{ away: turning() }} transform={origin()}>
      <g aria-hidden="true">
        <For each={layout().names}>{(n) => <Name name={n} move={along_(n.name)} />}</For>
        <PointedName known={() => layout().names} scaled={scaled} />
      </g>
      <g aria-hidden="true">
        <For each={layout().values}>
          {(v) => (
            <g class="value" transform={`translate(${v.at[0]} ${v.at[1]})`}>
              <rect x={-width(v.text) / 2 - 4} y="-11" width={width(v.text) + 8} height="22" rx="3" />
              <text class="value-text" y="5.5" text-anchor="middle">{v.text}</text>
            </g>
          )}
        </For>
      </g>
      <g aria-hidden="true"><For each={all()}>{(t) => <TagLeader tag={t} />}</For></g>
      <For each={keys()}>{(key) => <Show when={tags().get(key)}>{(t) => <Tag tag={t()} reached={reached() === key} />}</Show>}</For>
      <MarkWords scaled={scaled} tags={all().map((t) => t.box)} />
    </g>
  );
}

function Name(props: { name: NameAt; move: string | undefined }) {
  const n = () => props.name;
  return (
    <g class="name" classList={{ chosen: chosen().includes(n().name) }} transform={props.move}>
      <Show when={n().leader}>
        {(end) => {
          const b = () => n().box;
          const from = (): Pt => [Math.min(Math.max(end()[0], b().x0), b().x1), Math.min(Math.max(end()[1], b().y0), b().y1)];
          return <path class="leader" d={`M${from()[0]} ${from()[1]}L${end()[0]} ${end()[1]}`} />;
        }}
      </Show>
      <g transform={n().upright ? `translate(${n().at[0]} ${n().at[1]}) rotate(-90)` : `translate(${n().at[0]} ${n().at[1]})`}>
        <For each={n().lines}>
          {(text, i) => <text y={(i() - (n().lines.length - 1) / 2) * LINE + 5.5} text-anchor="middle">{text}</text>}
        </For>
      </g>
    </g>
  );
}

/** The name of what you point at or have chosen, when there was no room for it. */
function PointedName(props: { known: () => NameAt[]; scaled: (p: Pt) => Pt }) {
  const names = createMemo(() => {
    const wanted = new Set([pointed(), ...chosen()].filter((n): n is string => n !== null));
    const have = new Set(props.known().map((n) => n.name));
    return [...study.parts, ...study.plugs].filter((p) => wanted.has(p.name) && !have.has(p.name) && p.face === face() && p.outline.length > 0);
  });
  return (
    <For each={names()}>
      {(p) => {
        const spot = () => {
          const b = boxOf(p.outline);
          return props.scaled([(b.x0 + b.x1) / 2, b.y0]);
        };
        return (
          <g class="value" transform={`translate(${spot()[0]} ${spot()[1] + 16})`}>
            <rect x={-width(p.name) / 2 - 5} y="-11" width={width(p.name) + 10} height="22" rx="3" />
            <text class="value-text" y="5.5" text-anchor="middle">{p.name}</text>
          </g>
        );
      }}
    </For>
  );
}

/** Leaders lie below all tags, so that none strikes through a number. */
function TagLeader(props: { tag: TagOn }) {
  const t = () => props.tag;
  const start = (): Pt => {
    const [dx, dy] = [t().spot[0] - t().at[0], t().spot[1] - t().at[1]];
    const long = Math.hypot(dx, dy) || 1;
    return [t().at[0] + (dx / long) * TAG, t().at[1] + (dy / long) * TAG];
  };
  return (
    <g class={`tag ${t().severity}`} classList={{ open: openFinding() === t().key }}>
      <path class="tag-leader" d={`M${start()[0]} ${start()[1]}L${t().spot[0]} ${t().spot[1]}`} />
      <circle class="tag-spot" cx={t().spot[0]} cy={t().spot[1]} r="2.5" />
    </g>
  );
}

function Tag(props: { tag: TagOn; reached: boolean }) {
  const t = () => props.tag;
  const open = () => {
    setPage("findings");
    setOpenFinding(t().key);
  };
  return (
    <g
      class={`tag ${t().severity}`} classList={{ open: openFinding() === t().key }} data-finding={t().key} data-number={t().number}
      role="button" tabindex={props.reached ? 0 : -1} aria-label={`Finding ${t().number}, ${t().severity}: ${t().what}`} onClick={open} onFocus={() => setWalkedTag(t().key)}
    >
      <TagShape severity={t().severity} number={t().number} at={t().at} r={TAG} />
    </g>
  );
}

/** Filled for danger, double for fix, single for look, broken for note: told apart without colour. */
export function TagShape(props: { severity: Severity; number: string; at: Pt; r: number }) {
  return (
    <g class={`tag-shape ${props.severity}`}>
      <circle class="ring" cx={props.at[0]} cy={props.at[1]} r={props.r - 1} />
      <Show when={props.severity === "fix"}>
        <circle class="ring inner" cx={props.at[0]} cy={props.at[1]} r={props.r - 3.4} />
      </Show>
      <text class="tag-number" x={props.at[0]} y={props.at[1] + 5.2} text-anchor="middle">{props.number}</text>
    </g>
  );
}

