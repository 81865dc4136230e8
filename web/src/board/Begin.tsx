// What could be where there is nothing yet, and how to begin.

import { Show } from "solid-js";
import { mayEdit } from "../state/desk.ts";
import { choose, narrow, setPage, setPhoneSide } from "../state/view.ts";
import { bench, begin } from "../editing/bench.ts";
import { startTour } from "../shell/tour.ts";

export function NoBoard() {
  const making = () => {
    const now = bench();
    return now !== null && "add" in now && now.add === "board";
  };
  return (
    <div class="empty-board">
      <h2>This robot has no board yet</h2>
      <p>The board is the sheet that carries batteries, fuses, drivers and wires. Say how large it is and what it is made of; everything else goes on it.</p>
      <Show when={mayEdit() && !making()}><div class="fields"><button type="button" class="main" onClick={() => begin("board")}>Make the board</button></div></Show>
      <p>Or write it into the robot's files; it shows here as soon as you save:</p>
      <pre tabindex="0">{"[board]\nsize_mm = [400, 300]\nthickness_mm = 9\nmaterial = \"plywood\"\ndepth_front_mm = 80\ndepth_back_mm = 40"}</pre>
      <p>The two depths are the free room in front of it and behind it, in the body.</p>
      <Others />
    </div>
  );
}

export function NoParts() {
  return (
    <div class="begin-parts">
      <h2>Nothing is on the board yet</h2>
      <p>Begin with the battery's fuse, then what it feeds. Each part has a name, a type from the library, a face and a place:</p>
      <Show when={mayEdit()}><div class="fields"><button type="button" class="main" onClick={() => begin("part")}>Add a part</button></div></Show>
      <p>Or write it into the files; it shows here as soon as you save, and you drag it where you want it:</p>
      <pre tabindex="0">{"[[part]]\nname = \"main-fuse\"\ntype = \"…\"\nface = \"front\"\nat_mm = [100, 80]"}</pre>
      <Others />
    </div>
  );
}

function Others() {
  return (
    <div class="fields">
      <button type="button" onClick={() => { choose([]); setPage("findings"); setPhoneSide("words"); }}>{narrow() ? "Read what was found so far" : "What was found so far"}</button>
      <button type="button" onClick={startTour}>Show me round</button>
    </div>
  );
}
