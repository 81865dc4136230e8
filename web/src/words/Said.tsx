// A text from the program. Names in it stand between backticks, and are set apart instead; nothing else in it is markup.

import { For } from "solid-js";
import { pieces } from "./pieces.ts";

export function Said(props: { text: string }) {
  return <For each={pieces(props.text)}>{(piece, i) => (i() % 2 === 1 ? <i class="named">{piece}</i> : piece)}</For>;
}
