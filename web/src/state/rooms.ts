// The room that bends, tools and hands want: asked for while one of the two layers is shown, anew for every state.

import { createEffect, createRoot, createSignal } from "solid-js";
import type { RoomWanted } from "../talk.ts";
import { known, line, question, told } from "./desk.ts";
import { shown } from "./view.ts";

export type Rooms = { bends: readonly RoomWanted[]; reach: readonly RoomWanted[] };
const [rooms, setRooms] = createSignal<Rooms>({ bends: [], reach: [] });
export { rooms };

export const wanted = () => shown().has("bends") || shown().has("reach");

let asking = false;
/** A state came while the last question had no answer yet. */
let again = false;

async function ask(): Promise<void> {
  if (asking) {
    again = true;
    return;
  }
  asking = true;
  do {
    again = false;
    const tell = await question({ ask: "rooms" });
    if (tell.tell === "rooms") setRooms({ bends: tell.bends, reach: tell.reach });
  } while (again && wanted());
  asking = false;
}

createRoot(() => createEffect(() => {
  told();
  if (wanted() && known() && line() === "open") void ask();
  else if (!wanted()) setRooms({ bends: [], reach: [] });
}));
