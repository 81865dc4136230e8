// The keys, on a sheet that Escape puts away.

import { For, onMount } from "solid-js";
import { mayEdit } from "../state/desk.ts";
import { startTour } from "./tour.ts";

/** What only who may change the robot can do. */
const EDITING: ReadonlySet<string> = new Set(["Alt + arrows", "Shift + arrows", "R, Shift R", "A, W, O", "Ctrl Z, Ctrl Shift Z", "Drag a part"]);
const KEYS: readonly [string, string][] = [
  ["Tab", "to the board, its findings, the tools, the words"],
  ["Arrows", "walk from thing to thing; move what is in hand by 1 mm"],
  ["Alt + arrows", "move by 0.1 mm"],
  ["Shift + arrows", "move by 10 mm"],
  ["Ctrl + arrows", "move the picture"],
  ["N, Shift N", "the next thing, the one before"],
  ["Enter", "take in hand or put down; with Shift, one more"],
  ["On a finding’s tag", "arrows to the next number, Enter reads it"],
  ["Escape", "put back what you move, else put down what is in hand"],
  ["R, Shift R", "turn by 90° to the left, to the right"],
  ["T", "turn the board over"],
  ["F", "show the whole board"],
  ["+ and −", "nearer, farther"],
  ["M", "measure: arrows go from feature to feature, Enter takes one"],
  ["A, W, O", "add a part, draw a wire, cut an opening (all in numbers too)"],
  ["E", "everything the files say about what is chosen"],
  ["Ctrl Z, Ctrl Shift Z", "undo, redo"],
];
const HANDS: readonly [string, string][] = [
  ["Drag a part or plug", "moves it; Ctrl or Alt lets it go anywhere, Escape puts it back"],
  ["Drag beside parts", "moves the picture; with Shift, chooses what it covers"],
  ["Drag what is chosen", "moves bolts of the board, kept-out areas and openings"],
  ["Wheel or two fingers", "nearer and farther; two fingers also move the picture"],
  ["Shift and click", "chooses one more; a finger that rests on it does the same"],
];

export function Help(props: { close: () => void }) {
  let dialog!: HTMLDialogElement;
  onMount(() => dialog.showModal());
  return (
    <dialog ref={dialog} class="help" aria-labelledby="help-title" onClose={() => props.close()}>
      <h2 id="help-title">Keys and hands</h2>
      <dl>
        <For each={[...KEYS, ...HANDS].filter(([key]) => mayEdit() || !EDITING.has(key))}>{([key, words]) => <><dt>{key}</dt><dd>{words}</dd></>}</For>
      </dl>
      <div class="fields">
        <button type="button" class="main" onClick={() => dialog.close()}>Back to the board</button>
        <button type="button" onClick={() => { startTour(); dialog.close(); }}>Show me round</button>
      </div>
    </dialog>
  );
}
