// The address for others in the network, to be taken with a phone.

import { For, Show } from "solid-js";
import { welcome } from "../state/desk.ts";
import { Drop } from "./Drop.tsx";

/** Modules of free edge that a reader needs (four, by the standard of such codes). */
const EDGE = 4;

export function Phone() {
  const first = () => welcome().phones[0];
  return (
    <Drop words="Phone" title="On your phone">
      <div class="phone-code">
        <p>{welcome().phonesMayEdit
          ? "Take this code with a phone in the same network. Who has it may look, tick off, and change the robot."
          : "Take this code with a phone in the same network. Who has it may look and tick off, and change nothing else."}</p>
        <Show when={first()}>
          {(phone) => (
            <svg class="code" role="img" aria-label={`Code of ${phone().address}`} viewBox={`${-EDGE} ${-EDGE} ${phone().size + 2 * EDGE} ${phone().size + 2 * EDGE}`} shape-rendering="crispEdges">
              <rect x={-EDGE} y={-EDGE} width={phone().size + 2 * EDGE} height={phone().size + 2 * EDGE} fill="#ffffff" />
              <path d={phone().path} fill="#000000" />
            </svg>
          )}
        </Show>
        <p class="quiet">{welcome().phones.length > 1 ? "Or one of these addresses; the code is the first:" : "Or this address:"}</p>
        <For each={welcome().phones}>{(p) => <p class="address">{p.address}</p>}</For>
        <p class="quiet">It is plain http: who is in the same network could listen. It ends with the desk.</p>
      </div>
    </Drop>
  );
}
