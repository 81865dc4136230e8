// A browser and a desk for the tests. With LOOMDECK_DESK (path of the program) the real one on a copy of a demo;
// otherwise the stand-in with the recorded study.

import { spawn } from "node:child_process";
import { cp, mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";
import { proxy } from "../../dev/proxy.mjs";
import { serve } from "../../dev/mock-server.mjs";

const web = fileURLToPath(new URL("../..", import.meta.url));
export const program = process.env.LOOMDECK_DESK ?? null;
export const pictures = join(web, "tests", "browser", "pictures");

export async function browser() {
  return chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
}

/** The recorded study of a demo. */
export async function recorded() {
  return JSON.parse(await readFile(join(web, "fixtures", "study.json"), "utf8"));
}

/** Opens a desk: { url, close, real, folder, state }. `change` may rewrite the recorded study of the stand-in. */
export async function desk(change = (study) => study) {
  if (!program) {
    const stand = await serve(change(await recorded()));
    return { ...stand, url: `http://127.0.0.1:${stand.port}/`, real: false, keyed: false };
  }
  return real();
}

/** The real desk on a copy of the demo, which `prepare` may change first. */
export async function real(prepare = async () => {}, robot = "samovar-first-try") {
  const demo = join(web, "..", "demos", robot);
  const folder = await mkdtemp(join(tmpdir(), "desk-"));
  await cp(demo, folder, { recursive: true });
  await prepare(folder);
  const child = spawn(program, ["open", folder, "--no-browser"], { stdio: ["ignore", "pipe", "pipe"] });
  const url = await new Promise((done, fail) => {
    let said = "";
    const hear = (chunk) => {
      said += chunk;
      const found = /http:\/\/127\.0\.0\.1:\d+\/\?key=\S+/u.exec(said);
      if (found) done(found[0]);
    };
    child.stdout.on("data", hear);
    child.stderr.on("data", hear);
    child.on("exit", () => fail(new Error(`the desk ended: ${said}`)));
  });
  // A program that was built without pages gets them from dist/.
  const served = await fetch(url, { redirect: "manual" });
  const first = await fetch(new URL("/", url), { headers: { cookie: served.headers.get("set-cookie")?.split(";")[0] ?? "" } });
  const bare = process.env.LOOMDECK_PAGES === "dist" || !(await first.text()).includes('id="desk"');
  const front = bare ? await proxy(url) : null;
  return {
    url: front ? `http://127.0.0.1:${front.port}/` : url, real: true, keyed: front === null, folder, cut: front?.cut,
    close: async () => {
      await front?.close();
      child.kill();
      await new Promise((done) => child.once("exit", done));
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/** A page on the desk with the board drawn. Scripts that fail, and refusals of the browser, are collected. */
export async function open(browser, url, { tour = false, robotless = false, before = null, ...options } = {}) {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, reducedMotion: "reduce", ...options });
  if (!tour) await context.addInitScript(() => localStorage.setItem("loomdeck.tour", "seen"));
  if (before) await context.addInitScript(before);
  const page = await context.newPage();
  page.wrong = [];
  page.on("pageerror", (e) => page.wrong.push(e.message));
  page.on("console", (m) => {
    if (m.type() === "error") page.wrong.push(m.text());
  });
  await page.goto(url);
  await page.waitForSelector(robotless ? ".tools" : ".part");
  await page.evaluate(() => document.fonts.ready);
  return page;
}

/** Middle of a part on the screen. */
export async function middleOf(page, name) {
  return page.evaluate((name) => {
    const r = document.querySelector(`[data-part="${name}"] .part-outline`).getBoundingClientRect();
    return { x: r.x + r.width / 2, y: r.y + r.height / 2, width: r.width, height: r.height };
  }, name);
}

/** A point of a part that nothing lies over, so that a hand can take it. */
export async function gripOf(page, name) {
  const at = await page.evaluate((name) => {
    const r = document.querySelector(`[data-part="${name}"] .part-outline`).getBoundingClientRect();
    for (let i = 1; i < 12; i++) {
      for (let j = 1; j < 12; j++) {
        const [x, y] = [r.x + (r.width * i) / 12, r.y + (r.height * j) / 12];
        if (document.elementFromPoint(x, y)?.closest("[data-part]")?.getAttribute("data-part") === name) return { x, y };
      }
    }
    return null;
  }, name);
  if (!at) throw new Error(`nothing of ${name} can be taken`);
  return at;
}

/** What the page says of a part's place: its label for screen readers. */
export async function placeOf(page, name) {
  return page.getAttribute(`[data-part="${name}"]`, "aria-label");
}
