// The keys, on a sheet that Escape puts away.

import { For, onMount } from "solid-js";
import { startTour } from "./tour.ts";

const KEYS: readonly [string, string][] = [
  ["Tab", "to the board, the tools, the words"],
  ["Arrows", "walk from part to part; move what is in hand by 1 mm"],
  ["Alt + arrows", "move by 0.1 mm"],
  ["Shift + arrows", "move by 10 mm"],
  ["Enter", "take the part in hand or put it down; with Shift, one more"],
  ["Escape", "put back what you move, else put down what is in hand"],
  ["R, Shift R", "turn by 90° to the left, to the right"],
  ["T", "turn the board over"],
  ["F", "show the whole board"],
  ["+ and −", "nearer, farther"],
  ["M", "measure; Enter measures from the part you are at"],
  ["A, W, O", "add a part, draw a wire, cut an opening"],
  ["E", "everything the files say about what is chosen"],
  ["Ctrl Z, Ctrl Shift Z", "undo, redo"],
];
const HANDS: readonly [string, string][] = [
  ["Drag a part", "moves it; Ctrl or Alt lets it go anywhere, Escape puts it back"],
  ["Drag beside parts", "moves the picture; with Shift, chooses what it covers"],
  ["Wheel or two fingers", "nearer and farther"],
  ["Shift and click", "chooses one more"],
];

export function Help(props: { close: () => void }) {
  let dialog!: HTMLDialogElement;
  onMount(() => dialog.showModal());
  return (
    <dialog ref={dialog} class="help" aria-labelledby="help-title" onClose={() => props.close()}>
      <h2 id="help-title">Keys and hands</h2>
      <dl>
        <For each={[...KEYS, ...HANDS]}>{([key, words]) => <><dt>{key}</dt><dd>{words}</dd></>}</For>
      </dl>
      <div class="fields">
        <button type="button" class="main" onClick={() => dialog.close()}>Back to the board</button>
        <button type="button" onClick={() => { startTour(); dialog.close(); }}>Show me round</button>
      </div>
    </dialog>
  );
}
