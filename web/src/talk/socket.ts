// The line to the desk: it joins, notices when it goes, and joins again by itself.

import type { Ask, Tell } from "../talk.ts";

export type LineState = "joining" | "open" | "away";

/** The part of a WebSocket that is used, so that tests can stand in for it. */
export interface Wire {
  send(text: string): void;
  close(): void;
  onopen: (() => void) | null;
  onmessage: ((event: { data: unknown }) => void) | null;
  onclose: (() => void) | null;
}

export interface LineOptions {
  dial: () => Wire;
  hear: (tell: Tell) => void;
  /** `failed` counts attempts in a row that came to nothing. */
  state: (state: LineState, failed: number) => void;
  later?: (run: () => void, ms: number) => number;
  never?: (timer: number) => void;
}

const FIRST_WAIT_MS = 250;
const LONGEST_WAIT_MS = 4000;

export class Line {
  private wire: Wire | null = null;
  private open = false;
  private wait = FIRST_WAIT_MS;
  private timer: number | null = null;
  private failed = 0;
  private readonly later: (run: () => void, ms: number) => number;
  private readonly never: (timer: number) => void;

  constructor(private readonly options: LineOptions) {
    this.later = options.later ?? ((run, ms) => setTimeout(run, ms) as unknown as number);
    this.never = options.never ?? ((timer) => clearTimeout(timer));
  }

  /** Joins now, also when a later attempt is waiting (the machine woke up, the window came back). */
  join(): void {
    if (this.wire) return;
    if (this.timer !== null) this.never(this.timer);
    this.timer = null;
    this.options.state("joining", this.failed);
    let wire: Wire;
    try {
      wire = this.options.dial();
    } catch {
      this.gone();
      return;
    }
    this.wire = wire;
    wire.onopen = () => {
      this.open = true;
      this.wait = FIRST_WAIT_MS;
      this.failed = 0;
      this.options.state("open", 0);
    };
    wire.onmessage = (event) => {
      const tell = read(event.data);
      if (tell) this.options.hear(tell);
    };
    wire.onclose = () => {
      if (this.wire === wire) this.gone();
    };
  }

  /** Says it, and whether it went out. What did not go out is for the caller to keep. */
  say(ask: Ask): boolean {
    if (!this.wire || !this.open) return false;
    try {
      this.wire.send(JSON.stringify(ask));
      return true;
    } catch {
      return false;
    }
  }

  private gone(): void {
    this.wire = null;
    this.open = false;
    this.failed++;
    this.options.state("away", this.failed);
    this.timer = this.later(() => {
      this.timer = null;
      this.join();
    }, this.wait);
    this.wait = Math.min(this.wait * 2, LONGEST_WAIT_MS);
  }
}

function read(data: unknown): Tell | null {
  if (typeof data !== "string") return null;
  try {
    const tell: unknown = JSON.parse(data);
    return typeof tell === "object" && tell !== null && "tell" in tell ? (tell as Tell) : null;
  } catch {
    return null;
  }
}
