/** Whether every word of what is looked for stands somewhere in the text, in any case and order. */
export function found(wanted: string, text: string): boolean {
  const there = text.toLocaleLowerCase();
  return wanted.toLocaleLowerCase().split(/\s+/u).every((w) => there.includes(w));
}
