// What to do about a finding: first what it would lead to, then do it, then take it back if you like.

import { For, Show } from "solid-js";
import type { FileChange, FindingOn } from "../talk.ts";
import { applyRemedy, askPreview, mayEdit, preview, setPreview } from "../state/desk.ts";
import type { Preview } from "../state/desk.ts";
import { heir } from "../words/focus.ts";
import { Said } from "../words/Said.tsx";

export function Remedies(props: { finding: FindingOn }) {
  const looked = (i: number): Preview | null => {
    const now = preview();
    return now && now.finding === props.finding.key && now.remedy === i ? now : null;
  };
  return (
    <Show when={props.finding.remedies.length > 0}>
      <h4>What to do</h4>
      <ol class="remedies">
        <For each={props.finding.remedies}>
          {(remedy, i) => (
            <li>
              <p><Said text={remedy.text} /></p>
              <Show when={remedy.can_be_applied && mayEdit()}>
                <Show
                  when={looked(i())}
                  fallback={<button type="button" onClick={() => askPreview(props.finding.key, i())}>See what it leads to</button>}
                >
                  {(now) => <Outcome preview={now()} />}
                </Show>
              </Show>
            </li>
          )}
        </For>
      </ol>
    </Show>
  );
}

function Outcome(props: { preview: Preview }) {
  const told = () => (props.preview.state === "known" ? props.preview.told : null);
  return (
    <Show when={told()} fallback={<p class="quiet" role="status" tabindex="-1" ref={heir}>Trying it on a copy …</p>}>
      {(t) => (
        <div class="outcome" classList={{ works: t().works }} role="status" tabindex="-1" ref={heir}>
          <p><b><Said text={t().outcome} /></b></p>
          <Titles words="Goes" titles={t().gone} />
          <Titles words="Comes" titles={t().brings} />
          <For each={t().changes}>{(c) => <Lines change={c} />}</For>
          <div class="fields">
            <button type="button" class="main" onClick={() => applyRemedy(props.preview.finding, props.preview.remedy)}>
              {t().works ? "Do it" : "Do it all the same"}
            </button>
            <button type="button" onClick={(e) => {
              const remedy = e.currentTarget.closest("li");
              setPreview(null);
              queueMicrotask(() => remedy?.querySelector("button")?.focus({ preventScroll: true }));
            }}>Leave it</button>
            <span class="quiet">You can undo it.</span>
          </div>
        </div>
      )}
    </Show>
  );
}

function Titles(props: { words: string; titles: readonly string[] }) {
  const counted = () => {
    const counts = new Map<string, number>();
    for (const t of props.titles) counts.set(t, (counts.get(t) ?? 0) + 1);
    return [...counts];
  };
  return (
    <Show when={props.titles.length > 0}>
      <p class="titles"><span class="quiet">{props.words}:</span></p>
      <ul class="titles">
        <For each={counted()}>{([title, count]) => <li>{title}{count > 1 ? ` (${count} times)` : ""}</li>}</For>
      </ul>
    </Show>
  );
}

function Lines(props: { change: FileChange }) {
  const c = () => props.change;
  return (
    <figure class="lines">
      <figcaption>{c().file}, line {c().line}</figcaption>
      <pre>
        <For each={c().before}>{(text) => <><del><span class="unseen">taken out: </span>− {text}</del>{"\n"}</>}</For>
        <For each={c().after}>{(text) => <><ins><span class="unseen">put in: </span>+ {text}</ins>{"\n"}</>}</For>
      </pre>
    </figure>
  );
}
