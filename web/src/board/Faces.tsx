// Which side of the board you look at, or the power diagram instead.

import { face, looking, setLooking, turnOver } from "../state/view.ts";
import type { Face } from "../talk.ts";

export function Faces() {
  const here = (f: Face) => looking() === "board" && face() === f;
  const go = (f: Face) => {
    setLooking("board");
    turnOver(f);
  };
  return (
    <div class="pair" role="group" aria-label="View">
      <button type="button" aria-pressed={here("front")} onClick={() => go("front")}>Front</button>
      <button type="button" aria-pressed={here("back")} onClick={() => go("back")}>Back</button>
      <button type="button" aria-pressed={looking() === "power"} title="What feeds what" onClick={() => setLooking("power")}>Power</button>
    </div>
  );
}
