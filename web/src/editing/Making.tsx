// A line under the board that says what a click on it does just now.

import { Match, Show, Switch } from "solid-js";
import { narrow, setPhoneSide, tool } from "../state/view.ts";
import { putAway } from "./bench.ts";
import { placing } from "./placing.ts";
import { shape } from "./openings.ts";
import { from, isEnd, to } from "./wiring.ts";

export function Making() {
  return (
    <div class="in-hand" role="group" aria-label="In the making">
      <Switch>
        <Match when={tool() === "place"}><p>Click where <b>{placing()?.name}</b> goes.</p></Match>
        <Match when={tool() === "pass"}><p>{shape() === "round" ? "Draw a round opening from its middle outwards." : `Draw a ${shape()} from corner to corner.`}</p></Match>
        <Match when={tool() === "wire"}>
          <p>{from() === "" ? "Click the terminal where the wire begins." : !isEnd(to()) ? <>From <b>{from()}</b>: click the terminal where it ends.</> : <>From <b>{from()}</b> to <b>{to()}</b>.</>}</p>
        </Match>
      </Switch>
      <Show when={narrow()}><button type="button" onClick={() => setPhoneSide("words")}>{tool() === "wire" ? "See what it leads to" : "Back to the words"}</button></Show>
      <button type="button" class="quiet-button" aria-label="Leave it" title="Leave it (Escape)" onClick={putAway}>×</button>
    </div>
  );
}
