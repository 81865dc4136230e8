// Whether the desk has been opened anew: it answers, and the key that this browser has opens nothing any more.

export async function openedAnew(): Promise<boolean> {
  try {
    const answer = await fetch("/", { method: "HEAD", cache: "no-store" });
    return answer.status === 403;
  } catch {
    // Nobody is there.
    return false;
  }
}
