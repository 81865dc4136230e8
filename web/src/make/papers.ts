// Fetching what is printed, with how far it is.

export type Fetching =
  | { state: "setting" }
  | { state: "coming"; share: number | null }
  | { state: "done"; bytes: number }
  | { state: "failed"; why: string };

/** Fetches a paper and hands it to the browser to keep. */
export async function download(path: string, file: string, tell: (now: Fetching) => void): Promise<void> {
  tell({ state: "setting" });
  try {
    const answer = await fetch(path, { credentials: "same-origin" });
    if (!answer.ok) return tell({ state: "failed", why: plainWords(await answer.text()) });
    const whole = Number(answer.headers.get("content-length"));
    const pieces: BlobPart[] = [];
    let bytes = 0;
    const reader = answer.body!.getReader();
    for (;;) {
      const { done, value } = await reader.read();
      if (done) break;
      pieces.push(value as BlobPart);
      bytes += value.length;
      tell({ state: "coming", share: whole > 0 ? Math.min(1, bytes / whole) : null });
    }
    keep(new Blob(pieces, { type: answer.headers.get("content-type") ?? "application/octet-stream" }), file);
    tell({ state: "done", bytes });
  } catch {
    tell({ state: "failed", why: "The desk did not answer. Is it still running in the terminal? Ask again when it is back." });
  }
}

function keep(blob: Blob, file: string): void {
  const url = URL.createObjectURL(blob);
  const link = document.createElement("a");
  link.href = url;
  link.download = file;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

/** The sentences of one of the program's plain pages. */
function plainWords(html: string): string {
  const page = new DOMParser().parseFromString(html, "text/html");
  const words = [...page.querySelectorAll("p")].map((p) => p.textContent?.trim() ?? "").filter((t) => t !== "");
  return words.join(" ") || "It could not be made.";
}

/** A name for a file, of the robot's and the paper's. */
export function fileName(robot: string, paper: string): string {
  const plain = robot.toLocaleLowerCase().replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-+|-+$/gu, "");
  return plain === "" ? paper : `${plain}-${paper}`;
}

export function size(bytes: number): string {
  return bytes < 950_000 ? `${Math.max(1, Math.round(bytes / 1000))}\u202fkB` : `${(bytes / 1_000_000).toFixed(1)}\u202fMB`;
}
