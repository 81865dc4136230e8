// Numbers as a builder reads them: unit always, thin space before it, no more digits than are known.

const THIN = "\u202f";

export type LengthUnit = "mm" | "inch";

const UNITS: Record<string, string> = {
  mm: "mm", mm2: "mm²", a: "A", v: "V", w: "W", c: "°C", degc: "°C", k: "K", s: "s", ms: "ms", percent: "%",
  mohm: "mΩ", ohm: "Ω", kg: "kg", g: "g", deg: "°", j: "J", wh: "Wh", ah: "Ah", db: "dB", rpm: "1/min", n: "N",
  nm: "N·m", mpa: "MPa", hz: "Hz", count: "",
};

/** Digits that are worth reading: three, but none after the point of what is large. */
export function plain(value: number): string {
  if (!Number.isFinite(value)) return "–";
  const size = Math.abs(value);
  const digits = size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 ? 2 : 3;
  return trimmed(value.toFixed(digits)).replace("-", "\u2212");
}

function trimmed(text: string): string {
  const short = text.includes(".") ? text.replace(/\.?0+$/u, "") : text;
  return short === "-0" ? "0" : short;
}

export function withUnit(value: number, unit: string): string {
  if (unit === "") return plain(value);
  return unit === "°" ? `${plain(value)}°` : `${plain(value)}${THIN}${unit}`;
}

/** A length on the board: to a tenth of a millimetre, or to a hundredth of an inch. */
export function length(mm: number, unit: LengthUnit): string {
  return `${lengthNumber(mm, unit)}${THIN}${unit === "mm" ? "mm" : "in"}`;
}

export function lengthNumber(mm: number, unit: LengthUnit): string {
  const text = unit === "mm" ? mm.toFixed(Math.abs(mm) >= 1000 ? 0 : 1) : (mm / 25.4).toFixed(2);
  return trimmed(text).replace("-", "\u2212");
}

/** Reads what a person types for a length: `12`, `12.5`, `12,5`, with or without unit. */
export function readLength(text: string, unit: LengthUnit): number | null {
  const match = /^\s*([-+\u2212]?\d+(?:[.,]\d+)?|[-+\u2212]?[.,]\d+)\s*(mm|in|inch|")?\s*$/u.exec(text);
  if (!match) return null;
  const value = Number(match[1]!.replace(",", ".").replace("\u2212", "-"));
  const inches = match[2] ? match[2] !== "mm" : unit === "inch";
  return inches ? value * 25.4 : value;
}

export const amps = (a: number) => withUnit(round(a, 2), "A");
export const volts = (v: number) => withUnit(round(v, 2), "V");
export const watts = (w: number) => withUnit(round(w, 1), "W");
/** Temperatures are known to a degree at best. */
export const celsius = (c: number) => `${Math.round(c)}`.replace("-", "\u2212") + `${THIN}°C`;
/** Drops are small: in millivolts below one volt. */
export const drop = (v: number) => (Math.abs(v) < 0.9995 ? `${Math.round(v * 1000)}${THIN}mV`.replace("-", "\u2212") : volts(v));

/** Nobody counts a night in seconds. */
export function time(s: number): string {
  const abs = Math.abs(s);
  if (abs < 120) return withUnit(s, "s");
  if (abs < 2 * 3600) return withUnit(Math.round(s / 60), "min");
  if (abs < 2 * 86_400) return withUnit(round(s / 3600, 1), "h");
  return withUnit(Math.round(s / 86_400), "days");
}

function round(value: number, digits: number): number {
  const by = 10 ** digits;
  return Math.round(value * by) / by;
}

/** `highest_temperature_c`, 94.3 becomes "highest temperature" and "94 °C". */
export function named(key: string, value: number, unit: LengthUnit): { label: string; text: string } {
  if (key.endsWith("_m_s")) return { label: words(key.slice(0, -4)), text: withUnit(value, "m/s") };
  const cut = key.lastIndexOf("_");
  const suffix = cut < 0 ? key : key.slice(cut + 1);
  const known = UNITS[suffix];
  if (known === undefined) return { label: words(key), text: plain(value) };
  const label = words(cut < 0 ? key : suffix === "count" ? `${key.slice(0, cut)}` : key.slice(0, cut));
  if (suffix === "mm") return { label, text: length(value, unit) };
  if (suffix === "c" || suffix === "degc") return { label, text: celsius(value) };
  if (suffix === "s") return { label, text: time(value) };
  return { label, text: withUnit(value, known) };
}

function words(key: string): string {
  return key.replace(/_/gu, " ");
}
