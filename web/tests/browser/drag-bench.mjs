// How soon the findings follow the hand: a part of a demo dragged in a real browser on the real desk.
//
//   LOOMDECK_DESK=path/of/loomdeck npm run drag-bench -- [DEMO] [SECONDS] [free|grid]
//
// The pointer moves 60 times a second; free (the usual): with Alt held, so that every move is another place; on the grid:
// as a hand drags, the part resting every 5 mm. For every move that the page hears, the span until the next painted
// picture is taken (the part under the hand). For every move of a frame in which the page asked what comes of it, the
// span until the picture painted after the study that knows of this place or a later one (the findings); a move that
// leaves the part where it was asks for nothing. A try that a later one overtakes gets no answer, so what waits cannot
// grow; whether it does is seen from the last third against the first.

import { gripOf } from "./hand.mjs";
import { browser, open, program, real } from "./stand.mjs";

const [demo = "samovar", seconds = "30", way = "free"] = process.argv.slice(2);
if (!program) {
  console.error("LOOMDECK_DESK must name the program: it is the real desk that is measured.");
  process.exit(1);
}

/** Runs in the page before anything else. */
function watch() {
  const seen = { moves: [], tries: [], answers: [], bytes: 0 };
  let frame = 0;
  window.seenByBench = seen;
  const painted = (then) => requestAnimationFrame(() => {
    const after = new MessageChannel();
    after.port1.onmessage = () => then(performance.now());
    after.port2.postMessage(null);
  });
  addEventListener("pointermove", (e) => {
    const move = { at: e.timeStamp, shown: null, frame: 0 };
    seen.moves.push(move);
    // Asked for before the page asks for its own, so it runs first.
    requestAnimationFrame((now) => (frame = move.frame = now));
    painted((now) => (move.shown = now));
  }, true);
  const Socket = window.WebSocket;
  window.WebSocket = class extends Socket {
    send(text) {
      const ask = JSON.parse(text);
      if (ask.ask === "try") seen.tries.push({ id: ask.id, frame, at: performance.now() });
      super.send(text);
    }
    set onmessage(hear) {
      super.onmessage = (event) => {
        const come = performance.now();
        hear(event);
        const answers = /"answers":(\d+)/u.exec(event.data.slice(0, 200)) ?? /"answers":(\d+)/u.exec(event.data.slice(-200));
        if (!answers || !event.data.includes('"study"')) return;
        seen.bytes += event.data.length;
        const answer = { id: Number(answers[1]), come, heard: performance.now(), shown: null };
        seen.answers.push(answer);
        painted((now) => (answer.shown = now));
      };
    }
  };
}

const rank = (sorted, share) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
function told(name, spans) {
  const sorted = [...spans].sort((a, b) => a - b);
  const ms = (value) => `${value.toFixed(1)} ms`;
  console.log(`${name}: median ${ms(rank(sorted, 0.5))}, p95 ${ms(rank(sorted, 0.95))}, worst ${ms(sorted.at(-1))} (${sorted.length})`);
}

const chromium = await browser();
const stand = await real(undefined, demo);
try {
  const page = await open(chromium, stand.url, { before: watch });
  const name = await page.evaluate(() => document.querySelector(".part:not(.plug)").getAttribute("data-part"));
  const grip = await gripOf(page, name);
  await page.mouse.move(grip.x, grip.y);
  if (way === "free") await page.keyboard.down("Alt");
  await page.mouse.down();
  await page.evaluate(() => Object.assign(window.seenByBench, { bytes: 0 }) && Object.values(window.seenByBench).forEach((list) => (list.length = 0)));
  const begun = performance.now();
  for (let n = 0; performance.now() - begun < 1000 * Number(seconds); n++) {
    const turn = n / 40;
    await page.mouse.move(grip.x + 60 * Math.sin(turn), grip.y + 40 * Math.sin(2 * turn));
    const left = begun + ((n + 1) * 1000) / 60 - performance.now();
    if (left > 0) await new Promise((done) => setTimeout(done, left));
  }
  await page.waitForTimeout(500);
  const seen = await page.evaluate(() => window.seenByBench);
  await page.keyboard.press("Escape");
  await page.mouse.up();
  if (way === "free") await page.keyboard.up("Alt");

  const tried = new Set(seen.tries.map((t) => t.id));
  const inFrame = new Map(seen.tries.map((t) => [t.frame, t.id]));
  const known = seen.answers.filter((a) => tried.has(a.id) && a.shown !== null);
  const moves = seen.moves.filter((m) => m.shown !== null);
  const spans = moves.flatMap((move) => {
    const id = inFrame.get(move.frame);
    const knows = id === undefined ? undefined : known.find((a) => a.id >= id);
    return knows ? [knows.shown - move.at] : [];
  });
  console.log(`${demo}, ${name}, ${way}: ${seen.moves.length} moves in ${seconds} s, ${seen.tries.length} tries, ${known.length} studies of ${(seen.bytes / 1000 / Math.max(1, known.length)).toFixed(0)} kB`);
  told("hand to part", moves.map((move) => move.shown - move.at));
  told("hand to findings", spans);
  const sent = new Map(seen.tries.map((t) => [t.id, t.at]));
  told("  asked to answered", known.map((a) => a.come - sent.get(a.id)));
  told("  taken in", known.map((a) => a.heard - a.come));
  told("  then until painted", known.map((a) => a.shown - a.heard));
  const third = Math.floor(spans.length / 3);
  told("  first third", spans.slice(0, third));
  told("  last third", spans.slice(-third));
} finally {
  await stand.close();
  await chromium.close();
}
