// Where a thing of the robot is on the board.

import type { Face, Pt } from "../talk.ts";
import { boxOf, along, middle } from "../board/geometry.ts";
import { study } from "../state/desk.ts";

export type Spot = { at: Pt; face: Face };

export function placeOf(kind: string, name: string): Spot | null {
  switch (kind) {
    case "part": {
      const part = study.parts.find((p) => p.name === name);
      return part && part.outline.length > 0 ? { at: middle(boxOf(part.outline)), face: part.face } : null;
    }
    case "plug": {
      const plug = study.plugs.find((p) => p.name === name);
      return plug ? { at: [plug.at_mm[0], plug.at_mm[1]], face: plug.face } : null;
    }
    case "wire": {
      const leg = study.wires.find((w) => w.name === name)?.legs[0];
      return leg ? { at: along(leg.points, 0.5), face: leg.face } : null;
    }
    case "loom": {
      const body = study.looms.find((l) => l.name === name)?.bodies[0];
      return body ? { at: along(body.points, 0.5), face: body.face } : null;
    }
    case "pass": {
      const pass = study.sheet?.passes.find((p) => p.name === name);
      return pass ? { at: [pass.at_mm[0], pass.at_mm[1]], face: "front" } : null;
    }
    case "board-mount": {
      const mount = study.sheet?.mounts.find((m) => m.name === name);
      return mount ? { at: [mount.at_mm[0], mount.at_mm[1]], face: "front" } : null;
    }
    default:
      return null;
  }
}
