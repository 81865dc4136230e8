// A browser and a desk for the tests. With LOOMDECK_DESK (path of the program) the real one on a copy of a demo;
// otherwise the stand-in with the recorded study.

import assert from "node:assert/strict";
import { spawn, spawnSync } from "node:child_process";
import { cp, mkdir, mkdtemp, readFile, readdir, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before } from "node:test";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";
import { proxy } from "../../dev/proxy.mjs";
import { serve } from "../../dev/mock-server.mjs";

const web = fileURLToPath(new URL("../..", import.meta.url));
export const program = process.env.LOOMDECK_DESK ?? null;
export const pictures = join(web, "tests", "browser", "pictures");
/** For tests that only the real program, or only the stand-in, can play. */
export const realOnly = { skip: program === null };
export const standInOnly = { skip: program !== null };

export async function browser() {
  return chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
}

/** The recorded study of a demo. */
export async function recorded() {
  return JSON.parse(await readFile(join(web, "fixtures", "study.json"), "utf8"));
}

/** Opens a desk: { url, close, real, folder, state }. `change` may rewrite the recorded study of the stand-in. */
export async function desk(change = (study) => study) {
  if (program) return real();
  const stand = await serve(change(await recorded()));
  return { ...stand, url: `http://127.0.0.1:${stand.port}/`, real: false };
}

/** Starts the program on a folder; resolves to the process and the address that it prints. */
async function started(folder, port, args) {
  const child = spawn(program, ["open", folder, "--no-browser", "--port", String(port), ...args], { stdio: ["ignore", "pipe", "pipe"] });
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
  return { child, url };
}
async function ended(child, signal) {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const gone = new Promise((done) => child.once("exit", done));
  child.kill(signal);
  await gone;
}

/**
 * The real desk on a copy of a demo, which `prepare` may change first: { url, folder, cut, kill, again, close }.
 * `kill` ends the program in the middle of whatever it does; `again` starts it on the same folder and port, and resolves
 * to its new address.
 */
export async function real(prepare = async () => {}, robot = "samovar-first-try", args = []) {
  const folder = await mkdtemp(join(tmpdir(), "desk-"));
  await cp(join(web, "..", "demos", robot), folder, { recursive: true });
  await prepare(folder);
  let { child, url } = await started(folder, 0, args);
  const port = Number(new URL(url).port);
  const front = (await wantsDist(url)) ? await proxy(url) : null;
  const fronted = (address) => (front ? address.replace(`:${port}/`, `:${front.port}/`) : address);
  return {
    url: fronted(url), real: true, folder, cut: front?.cut,
    kill: () => ended(child, "SIGKILL"),
    again: async () => {
      ({ child, url } = await started(folder, port, args));
      return fronted(url);
    },
    close: async () => {
      await front?.close();
      await ended(child, "SIGTERM");
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/** A program that was built without pages gets them from dist/. */
async function wantsDist(url) {
  if (process.env.LOOMDECK_PAGES === "dist") return true;
  const served = await fetch(url, { redirect: "manual" });
  const first = await fetch(new URL("/", url), { headers: { cookie: served.headers.get("set-cookie")?.split(";")[0] ?? "" } });
  return !(await first.text()).includes('id="desk"');
}

/** For `real`: the robot that `loomdeck new` writes, instead of a demo. */
export async function fresh(folder) {
  await rm(folder, { recursive: true });
  const made = spawnSync(program, ["new", folder], { encoding: "utf8" });
  assert.equal(made.status, 0, made.stderr);
}

/** For `real`: the robot that `loomdeck new` writes, with a wire that is too thick for its terminals. */
export async function spoilt(folder) {
  await fresh(folder);
  const file = join(folder, "robot.toml");
  const text = await readFile(file, "utf8");
  const thick = text.replace('to = "lamp.plus"\nsize_mm2 = 0.75', 'to = "lamp.plus"\nsize_mm2 = 4');
  assert.notEqual(thick, text);
  await writeFile(file, thick);
}

/** For `real`: a folder with a robot of nothing but a name. */
export async function bare(folder) {
  await rm(folder, { recursive: true });
  await mkdir(folder);
  await writeFile(join(folder, "robot.toml"), 'format = 1\n\n[robot]\nname = "New one"\n');
}

/** What `loomdeck check` says of a folder. */
export function checked(folder) {
  const { status, stdout, stderr } = spawnSync(program, ["check", folder], { encoding: "utf8" });
  return { status, said: stdout + stderr };
}

/** The robot's files as one text. */
export async function filesOf(folder) {
  const files = (await readdir(folder)).filter((f) => f.endsWith(".toml")).sort();
  return (await Promise.all(files.map((f) => readFile(join(folder, f), "utf8")))).join("\n");
}

/** Waits until the files of a folder are as `wanted` says. */
export async function until(folder, wanted, words) {
  let now = "";
  for (let i = 0; i < 200; i++) {
    now = await filesOf(folder);
    if (wanted(now)) return now;
    await new Promise((done) => setTimeout(done, 50));
  }
  return assert.fail(`${words}\n${now}`);
}

/**
 * A page on the desk with the board drawn. What goes wrong in it is collected in `page.wrong`: scripts that fail, what the
 * browser forbids, and anything that it asks of another machine.
 */
export async function open(browser, url, { tour = false, robotless = false, before = null, ...options } = {}) {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, reducedMotion: "reduce", ...options });
  if (!tour) await context.addInitScript(() => localStorage.setItem("loomdeck.tour", "seen"));
  if (before) await context.addInitScript(before);
  const page = watched(await context.newPage(), url);
  // A slow machine is no fault of the page.
  page.setDefaultTimeout(30000);
  try {
    await page.goto(url);
    await drawn(page, robotless);
  } catch (e) {
    await tellMore(e, page);
    await context.close();
    throw e;
  }
  return page;
}

/** Adds to what failed what the page had to say, and keeps a picture of it. */
async function tellMore(e, page) {
  const shown = await page.evaluate(() => [...document.querySelectorAll(".state, .notices, .waiting, body > h1, body > p")].map((n) => n.textContent).join("\n")).catch(() => "");
  await mkdir(pictures, { recursive: true });
  const path = join(pictures, `fault-${process.pid}-${++faults}.png`);
  await page.screenshot({ path }).catch(() => {});
  e.message += `\nThe page says: ${shown.slice(0, 2000)}\nWrong in it: ${page.wrong.join("; ")}\nIt looks like ${path}`;
}
let faults = 0;

/** Another page in the same browser, which has the key already. */
export async function another(page) {
  const second = watched(await page.context().newPage(), page.url());
  await second.goto(new URL("/", page.url()).href);
  await drawn(second);
  return second;
}

/** Collects in `page.wrong` what goes wrong in it, and in `page.asked` what it asks for. */
export function watched(page, url) {
  const { host } = new URL(url);
  page.wrong = [];
  page.asked = [];
  const asks = (address) => {
    page.asked.push(address);
    const to = new URL(address);
    if (!["data:", "blob:"].includes(to.protocol) && to.host !== host) page.wrong.push(`asked of another machine: ${address}`);
  };
  page.on("request", (r) => asks(r.url()));
  page.on("websocket", (w) => asks(w.url()));
  page.on("pageerror", (e) => page.wrong.push(e.message));
  page.on("console", (m) => {
    if (m.type() === "error") page.wrong.push(m.text());
  });
  return page;
}

export async function drawn(page, robotless = false) {
  await page.waitForSelector(robotless ? ".tools" : ".part");
  await page.evaluate(() => document.fonts.ready);
}

/**
 * A browser for the tests of one file, and for each test a desk with a page on it:
 * `walk(run, options, { prepare, robot, change })` runs `run(page, stand)`; nothing may go wrong in the page.
 */
export function walks() {
  let chromium;
  before(async () => { chromium = await browser(); });
  after(() => chromium.close());
  return async (run, options = {}, { prepare, robot, change } = {}) => {
    const stand = prepare || robot ? await real(prepare, robot) : await desk(change);
    let page = null;
    try {
      page = await open(chromium, stand.url, options);
      await run(page, stand);
      assert.deepEqual(page.wrong, [], "nothing fails in the page, and the browser forbids nothing");
    } catch (e) {
      if (page) await tellMore(e, page);
      throw e;
    } finally {
      await page?.context().close();
      await stand.close();
    }
  };
}
