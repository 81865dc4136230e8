// What on the diagram stands for what of the robot: boxes for parts and plugs, lines for wires.

import type { Rect } from "./frame.ts";

const SVG = "http://www.w3.org/2000/svg";

export type Box = Rect & { name: string; element: SVGElement };
export type Line = { names: string[]; element: SVGElement; label: boolean };
export type Things = { boxes: Box[]; lines: Line[] };

const number = (e: Element, name: string) => Number(e.getAttribute(name) ?? 0);

/** Finds them, and makes thin lines wide enough for a hand. */
export function thingsOf(nodes: readonly SVGElement[]): Things {
  const things: Things = { boxes: [], lines: [] };
  const groups = nodes.flatMap((n) => [n, ...n.querySelectorAll<SVGElement>("g")]);
  for (const element of groups) {
    const name = element.getAttribute("data-name");
    const names = element.getAttribute("data-names");
    const rect = element.querySelector("rect");
    if (name !== null && rect) {
      things.boxes.push({ name, element, x: number(rect, "x"), y: number(rect, "y"), w: number(rect, "width"), h: number(rect, "height") });
    } else if (names !== null) {
      things.lines.push({ names: names.split("\n"), element, label: element.classList.contains("in-label") });
      for (const line of [...element.querySelectorAll("line")].reverse()) {
        const wide = document.createElementNS(SVG, "line");
        for (const at of ["x1", "y1", "x2", "y2"]) wide.setAttribute(at, line.getAttribute(at) ?? "0");
        wide.setAttribute("class", "reach");
        element.prepend(wide);
      }
    }
  }
  return things;
}
