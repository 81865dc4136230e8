// A drawing from the program, made anew node by node from what its text says.

import { attributeFits, elementFits } from "./check.ts";

const SVG = "http://www.w3.org/2000/svg";
let drawings = 0;

export type Drawing = { box: { x: number; y: number; w: number; h: number }; title: string; nodes: SVGElement[] };

/** The nodes of a drawing; `null` when there is anything in it that no drawing of ours has. */
export function drawing(text: string): Drawing | null {
  const read = new DOMParser().parseFromString(text, "image/svg+xml");
  const root = read.documentElement;
  if (root.localName !== "svg" || root.namespaceURI !== SVG) return null;
  const [x, y, w, h] = (root.getAttribute("viewBox") ?? "").split(" ").map(Number);
  if (![x, y, w, h].every(Number.isFinite) || !(w! > 0) || !(h! > 0)) return null;
  const mark = `d${++drawings}-`;
  const made = copy(root, mark);
  if (!made) return null;
  const nodes = [...made.children].filter((c): c is SVGElement => c instanceof SVGElement);
  const head = nodes[0]?.localName === "title" ? nodes.shift() : undefined;
  return { box: { x: x!, y: y!, w: w!, h: h! }, title: head?.textContent ?? "", nodes };
}

function copy(from: Element, mark: string): SVGElement | null {
  if (from.namespaceURI !== SVG || !elementFits(from.localName)) return null;
  const to = document.createElementNS(SVG, from.localName);
  for (const { name, value } of from.attributes) {
    if (name === "xmlns") continue;
    if (!attributeFits(name, value)) return null;
    to.setAttribute(name, set(name, value, mark));
  }
  for (const child of from.childNodes) {
    if (child.nodeType === Node.TEXT_NODE) to.append(child.nodeValue ?? "");
    else if (child.nodeType === Node.ELEMENT_NODE) {
      const made = copy(child as Element, mark);
      if (!made) return null;
      to.append(made);
    } else return null;
  }
  return to;
}

/** Several drawings stand in one page, and neither their marks nor their classes may meet those of others. */
function set(name: string, value: string, mark: string): string {
  if (name === "id" || name === "clip-path") return value.replace("clip-", `${mark}clip-`);
  return name === "class" ? value.split(" ").map((c) => `in-${c}`).join(" ") : value;
}
