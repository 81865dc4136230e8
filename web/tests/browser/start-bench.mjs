// How soon the board is there: from the start of the program until it is painted in a real browser.
//
//   LOOMDECK_DESK=path/of/loomdeck npm run start-bench -- [DEMO] [TIMES]
//
// The browser runs already, as a builder's does; each time it gets a profile that has never seen the desk, so nothing
// is in its cache. Painted: the first picture after the first part and the first finding are in the page.

import { spawn } from "node:child_process";
import { cp, mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { browser, program } from "./stand.mjs";

const [demo = "samovar", times = "10"] = process.argv.slice(2);
if (!program) {
  console.error("LOOMDECK_DESK must name the program: it is the real desk that is measured.");
  process.exit(1);
}
const demos = fileURLToPath(new URL("../../../demos", import.meta.url));

/** Runs in the page before anything else. */
function watch() {
  localStorage.setItem("loomdeck.tour", "seen");
  const look = new MutationObserver(() => {
    if (!document.querySelector(".part .part-outline") || !document.querySelector(".finding-head")) return;
    look.disconnect();
    requestAnimationFrame(() => {
      const after = new MessageChannel();
      after.port1.onmessage = () => (window.painted = Date.now());
      after.port2.postMessage(null);
    });
  });
  look.observe(document, { childList: true, subtree: true });
}

const chromium = await browser();
const spans = [];
for (let n = 0; n < Number(times); n++) {
  const folder = await mkdtemp(join(tmpdir(), "desk-"));
  await cp(join(demos, demo), folder, { recursive: true });
  const context = await chromium.newContext({ viewport: { width: 1440, height: 900 } });
  await context.addInitScript(watch);
  const page = await context.newPage();
  const begun = Date.now();
  const child = spawn(program, ["open", folder, "--no-browser"], { stdio: ["ignore", "pipe", "inherit"] });
  try {
    const url = await new Promise((done, fail) => {
      let said = "";
      child.stdout.on("data", (chunk) => {
        said += chunk;
        const found = /http:\/\/127\.0\.0\.1:\d+\/\?key=\S+/u.exec(said);
        if (found) done(found[0]);
      });
      child.on("exit", () => fail(new Error(`the desk ended: ${said}`)));
    });
    const told = Date.now();
    await page.goto(url);
    const painted = await (await page.waitForFunction(() => window.painted)).jsonValue();
    spans.push({ told: told - begun, painted: painted - begun });
  } finally {
    await context.close();
    child.removeAllListeners("exit");
    child.kill();
    await new Promise((done) => child.once("exit", done));
    await rm(folder, { recursive: true, force: true });
  }
}
await chromium.close();
const said = (name, key) => {
  const sorted = spans.map((s) => s[key]).sort((a, b) => a - b);
  console.log(`${name}: median ${sorted[Math.floor(sorted.length / 2)]} ms, fastest ${sorted[0]}, slowest ${sorted.at(-1)} (${sorted.length})`);
};
console.log(`${demo}, from the start of the program`);
said("address printed", "told");
said("board painted", "painted");
