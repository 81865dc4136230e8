// What a drawing from the program may consist of. Names in it come from files, and files from anyone: what is not on
// these lists is not drawn at all.

const ELEMENTS: ReadonlySet<string> = new Set(["svg", "g", "title", "line", "rect", "circle", "path", "text", "clipPath"]);

const NUMBER = /^-?[\d.]+(?:mm)?$/u;
const WORDS = /^[\w ,.-]*$/u;
const COLOUR = /^(?:none|#[0-9a-f]{3,8})$/iu;
const ANY = /^[^]*$/u;

/** Each attribute with what its value must look like. */
const ATTRIBUTES: ReadonlyMap<string, RegExp> = new Map([
  ...["x", "y", "x1", "y1", "x2", "y2", "cx", "cy", "r", "rx", "width", "height", "font-size", "stroke-width"].map((n) => [n, NUMBER] as const),
  ...["class", "font-family", "font-style", "font-weight", "text-anchor", "stroke-linecap", "stroke-linejoin", "paint-order", "role"].map((n) => [n, WORDS] as const),
  ["fill", COLOUR], ["stroke", COLOUR],
  ["d", /^[\sMmLlHhVvAaCcQqSsTtZz\d.,eE+-]*$/u],
  ["stroke-dasharray", /^[\d. ]+$/u], ["viewBox", /^[-\d. ]+$/u],
  ["transform", /^rotate\([-\d. ]+\)$/u],
  ["id", /^clip-\d+$/u], ["clip-path", /^url\(#clip-\d+\)$/u],
  // Names of parts and wires: never more than data.
  ["data-name", ANY], ["data-names", ANY],
]);

export function elementFits(name: string): boolean {
  return ELEMENTS.has(name);
}

export function attributeFits(name: string, value: string): boolean {
  return ATTRIBUTES.get(name)?.test(value) ?? false;
}
