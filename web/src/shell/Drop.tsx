// A button with a small sheet below it, which goes away when you leave it.

import { Show, createSignal } from "solid-js";
import type { JSX } from "solid-js";

export function Drop(props: { words: string; title: string; children: JSX.Element }) {
  const [open, setOpen] = createSignal(false);
  let box!: HTMLDivElement;
  let button!: HTMLButtonElement;
  return (
    <div
      class="drop" ref={box}
      onFocusOut={(e) => {
        if (!box.contains(e.relatedTarget as Node | null)) setOpen(false);
      }}
      onKeyDown={(e) => {
        if (e.key !== "Escape" || !open()) return;
        setOpen(false);
        button.focus();
      }}
    >
      <button ref={button} type="button" aria-expanded={open()} onClick={() => setOpen(!open())}>{props.words}</button>
      <Show when={open()}>
        <fieldset class="sheet-of" tabindex="-1">
          <legend>{props.title}</legend>
          {props.children}
        </fieldset>
      </Show>
    </div>
  );
}
