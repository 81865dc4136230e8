// Sentences that are put together in more than one place.

import type { Severity } from "../talk.ts";

export const SEVERITIES: readonly Severity[] = ["danger", "fix", "look", "note"];

export function plural(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** "a", "a and b", "a, b and 3 more" */
export function listed(names: readonly string[], most = 3): string {
  if (names.length <= 1) return names[0] ?? "";
  if (names.length > most) return `${names.slice(0, most - 1).join(", ")} and ${names.length - most + 1} more`;
  return `${names.slice(0, -1).join(", ")} and ${names[names.length - 1]}`;
}
