/** A text cut at its pairs of backticks: plain, name, plain, name, … A number and its unit stay on one line. */
export function pieces(text: string): string[] {
  const parts = text.replaceAll("\u2009", "\u202f").split("`");
  if (parts.length % 2 === 1) return parts;
  // The last backtick has no second one, and is an ordinary sign.
  const [before = "", after = ""] = parts.splice(-2);
  return [...parts, `${before}\`${after}`];
}
