// A drawing set into the page, as wide as there is room; a picture that is fetched when it is shown.

import { Show, createMemo, createResource } from "solid-js";
import type { Picture } from "../talk.ts";
import { theme } from "../state/view.ts";
import { drawing } from "./drawn.ts";

export function Drawn(props: { svg: string; words: string }) {
  const made = createMemo(() => drawing(props.svg));
  return (
    <Show when={made()} fallback={<p class="quiet">This drawing cannot be shown here; it stands in the book.</p>}>
      {(d) => (
        <svg class="drawn" role="img" aria-label={props.words} viewBox={`${d().box.x} ${d().box.y} ${d().box.w} ${d().box.h}`}>{d().nodes}</svg>
      )}
    </Show>
  );
}

const kept = new Map<string, Promise<Picture | null>>();
let keptOf = "";

async function fetched(path: string): Promise<Picture | null> {
  const answer = await fetch(path, { credentials: "same-origin" });
  return answer.ok ? ((await answer.json()) as Picture | null) : null;
}

/** A picture by its name; `of` tells the state of the robot it is of, so that another state brings another picture. */
export function Pictured(props: { name: string; of: string; words: string }) {
  const [picture] = createResource(
    () => ({ of: props.of, path: `/picture/${theme()}/${encodeURIComponent(props.name)}` }),
    ({ of, path }) => {
      if (keptOf !== of) {
        kept.clear();
        keptOf = of;
      }
      const there = kept.get(path) ?? fetched(path).catch(() => null);
      kept.set(path, there);
      return there;
    },
  );
  return (
    <Show when={picture.latest} fallback={<Show when={picture.loading}><p class="quiet drawing-now">Drawing …</p></Show>}>
      {(p) => (
        <figure class="pictured">
          <Drawn svg={p().svg} words={props.words} />
          <Show when={p().keys.length > 0}>
            <figcaption>{p().keys.map((k, i) => `${i + 1} ${k}`).join(" · ")}</figcaption>
          </Show>
        </figure>
      )}
    </Show>
  );
}
