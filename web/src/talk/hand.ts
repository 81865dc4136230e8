// The hand: what you are doing, until the desk has said what became of it.
//
// Edits go out one at a time, so that each is made on the study that the one before it led to. An edit
// without an answer is kept when the line goes, and said again on the new line unless the files show that
// it was taken already, or that somebody else changed the same thing meanwhile.

import type { Ask, Edit, Tell } from "../talk.ts";

/** What a waiting edit finds when the line is back. */
export type Found = "taken" | "untouched" | "changed";

export interface Waiting {
  id: number;
  words: string;
  edits: Edit[];
  /** Looks at the study as it is now. */
  find: () => Found;
  /** What was seen when the thing was taken in hand; `null`: what is seen when the edit goes out. */
  base: number | null;
}

export type Outcome = { kind: "taken" } | { kind: "refused" | "conflict"; why: string };

export interface HandOptions {
  say: (ask: Ask) => boolean;
  rev: () => number;
  settled: (edit: Waiting, outcome: Outcome) => void;
  /** Runs once before the next picture; `requestAnimationFrame` in the pages. */
  frame: (run: () => void) => void;
}

export class Hand {
  private next = 1;
  private queue: Waiting[] = [];
  private sent = false;
  private tried: Edit[] | null = null;
  /** What the desk was last asked to show, as text; empty: nothing. A part that rests on the grid is often where it was. */
  private shown = "";
  private frameAsked = false;
  private trying = false;
  /** What was seen when the tries began: what changed since under the hand must not be overwritten unseen. */
  private taken: number | null = null;
  /** The number of the last try that was said. */
  lastTry = 0;

  constructor(private readonly options: HandOptions) {}

  /** A number for something asked; answers carry it. */
  number(): number {
    return this.next++;
  }

  /** Edits that have no answer yet. */
  get waiting(): readonly Waiting[] {
    return this.queue;
  }

  edit(words: string, edits: Edit[], find: () => Found): number {
    const id = this.number();
    const base = this.trying ? this.taken : null;
    this.tried = null;
    this.shown = "";
    this.trying = false;
    this.queue.push({ id, words, edits, find, base });
    this.sendFirst();
    return id;
  }

  /** Shows what it would be like. At most one a picture; the latest wins. */
  try(edits: Edit[]): void {
    this.tried = edits;
    if (!this.trying) this.taken = this.options.rev();
    this.trying = true;
    if (this.frameAsked) return;
    this.frameAsked = true;
    this.options.frame(() => {
      this.frameAsked = false;
      const edits = this.tried;
      this.tried = null;
      if (!edits || this.queue.length > 0) return;
      const text = JSON.stringify(edits);
      if (text === this.shown) return;
      this.lastTry = this.number();
      this.shown = this.options.say({ ask: "try", id: this.lastTry, base: this.options.rev(), edits }) ? text : "";
    });
  }

  letGo(): void {
    this.tried = null;
    this.shown = "";
    if (!this.trying) return;
    this.trying = false;
    this.options.say({ ask: "let_go", id: this.number() });
  }

  heard(tell: Tell): void {
    // What was tried is no longer on show: another changed the files, or it could not be tried.
    if (tell.tell === "study" ? !tell.trying : tell.tell === "refused" || tell.tell === "conflict") this.shown = "";
    const first = this.queue[0];
    if (!first || !this.sent || !("answers" in tell) || tell.answers !== first.id) return;
    if (tell.tell === "study") this.settle(first, { kind: "taken" });
    else if (tell.tell === "refused") this.settle(first, { kind: "refused", why: tell.why });
    else if (tell.tell === "conflict") this.settle(first, { kind: "conflict", why: tell.why });
    this.sendFirst();
  }

  /** The line is gone: what was sent has perhaps not arrived. */
  lost(): void {
    this.sent = false;
    // A desk that is opened anew counts from one again; whether somebody else was at it shows the study then.
    this.taken = null;
    for (const edit of this.queue) edit.base = null;
    this.shown = "";
  }

  /** The line is back and the study on it is known. */
  found(): void {
    for (;;) {
      const first = this.queue[0];
      if (!first || this.sent) return;
      const found = first.find();
      if (found === "untouched") {
        this.sendFirst();
        return;
      }
      this.settle(
        first,
        found === "taken"
          ? { kind: "taken" }
          : { kind: "conflict", why: "The files changed while the line was gone. Look at it, and do it again if you still want it." },
      );
    }
  }

  private settle(edit: Waiting, outcome: Outcome): void {
    this.queue.shift();
    this.sent = false;
    // What was tried before may still be on show; the files are what counts now.
    if (outcome.kind !== "taken") this.options.say({ ask: "let_go", id: this.number() });
    this.options.settled(edit, outcome);
  }

  private sendFirst(): void {
    const first = this.queue[0];
    if (!first || this.sent) return;
    this.sent = this.options.say({
      ask: "edit",
      id: first.id,
      base: first.base ?? this.options.rev(),
      words: first.words,
      edits: first.edits,
    });
  }
}
