// How wide a text is on the board.

import { createSignal } from "solid-js";

export const SIZE = 16;
const [fonts, setFonts] = createSignal(0);
export { fonts };
const widths = new Map<string, number>();
const pen = document.createElement("canvas").getContext("2d");
void document.fonts.ready.then(() => {
  widths.clear();
  setFonts(1);
});

/** Pixels that a text takes in the board's letters. */
export function width(text: string): number {
  fonts();
  const known = widths.get(text);
  if (known !== undefined) return known;
  if (!pen) return text.length * 8;
  pen.font = `500 ${SIZE}px "Barlow Semi Condensed", sans-serif`;
  const w = pen.measureText(text).width + 2;
  widths.set(text, w);
  return w;
}
