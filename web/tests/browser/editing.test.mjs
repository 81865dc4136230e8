// Making things at the desk: a newcomer's parts, wires and openings, with nothing but the page.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { createRequire } from "node:module";
import { mkdir, readFile, readdir, rm } from "node:fs/promises";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { browser, gripOf, open, pictures, program, real } from "./stand.mjs";

const axeSource = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
let chromium;
before(async () => { chromium = await browser(); });
after(() => chromium.close());

/** The robot that `loomdeck new` writes. */
async function fresh(folder) {
  await rm(folder, { recursive: true });
  const made = spawnSync(program, ["new", folder], { encoding: "utf8" });
  assert.equal(made.status, 0, made.stderr);
}

async function withDesk(run, options, prepare = fresh) {
  const stand = await real(prepare);
  const page = await open(chromium, stand.url, options);
  const text = async () => {
    const files = (await readdir(stand.folder)).filter((f) => f.endsWith(".toml"));
    return (await Promise.all(files.sort().map((f) => readFile(join(stand.folder, f), "utf8")))).join("\n");
  };
  try {
    await run(page, text);
    assert.deepEqual(page.wrong, [], "nothing fails in the page, and the browser forbids nothing");
  } finally {
    await page.context().close();
    await stand.close();
  }
}

const real_only = { skip: program === null };
const UNDO = "button:has-text('Undo')";
const saved = (page) => page.waitForSelector(".state >> text=Saved");
/** Waits until the files say so. */
async function until(text, wanted, words) {
  for (let i = 0; i < 100; i++) {
    if (wanted(await text())) return;
    await new Promise((done) => setTimeout(done, 50));
  }
  assert.fail(`${words}\n${await text()}`);
}
async function undoAll(page, text, original) {
  for (let i = 0; i < 20 && (await text()) !== original; i++) {
    const before = await text();
    await page.click(UNDO);
    await until(text, (t) => t !== before, "a step is taken back");
  }
  assert.equal(await text(), original);
}
async function field(page, key, value) {
  const input = page.locator(".key").filter({ has: page.locator(`label:text-is("${key}")`) }).locator("input, select");
  if ((await input.evaluate((e) => e.tagName)) === "SELECT") await input.selectOption(value);
  else {
    await input.fill(value);
    await input.press("Enter");
  }
  return input;
}
/** Where a point of the board is on the screen, seen from the front. */
async function onScreen(page, x, y) {
  return page.evaluate(([x, y]) => {
    const g = document.querySelector(".drawing > g[transform]");
    const p = new DOMPoint(x, y).matrixTransform(g.getScreenCTM());
    return { x: p.x, y: p.y };
  }, [x, y]);
}

test("a newcomer adds two parts, draws a wire between them, and takes all back", real_only, () => withDesk(async (page, text) => {
  const original = await text();
  await page.click(".tools >> text=Back");
  // A first part, from the library, by a click on the board.
  await page.click("nav.pages >> text=Parts");
  await page.click("text=Add a part");
  await page.fill(".thing input[type=search]", "fuse-block-blade-4");
  await page.click(".types button >> nth=0");
  assert.equal(await page.inputValue("#new-name"), "fuse-block-blade-4");
  await page.fill("#new-name", "second-fuses");
  const spot = await onScreen(page, 180, 90);
  await page.mouse.move(spot.x, spot.y, { steps: 3 });
  await page.waitForSelector(".ghost");
  await page.mouse.click(spot.x, spot.y);
  await page.waitForSelector('[data-part="second-fuses"]');
  await until(text, (t) => /name = "second-fuses"\ntype = "fuse-block-blade-4"\nface = "back"/u.test(t), "the part stands in the files");
  // A second one, by keyboard alone.
  await page.fill(".thing input[type=search]", "screw-bar-m4-6");
  await page.click(".types button >> nth=0");
  await page.fill("#new-name", "second-bar");
  await page.fill(".making input[inputmode=decimal] >> nth=0", "110");
  await page.fill(".making input[inputmode=decimal] >> nth=1", "60");
  await page.click("text=Put it there >> nth=0");
  await page.waitForSelector('[data-part="second-bar"]');
  await page.click(".thing-head [aria-label=Close]");
  // The wire: one end by a click, the other by typing.
  await page.click("nav.pages >> text=Wires");
  await page.click("text=Draw a wire");
  const at = await page.evaluate(() => {
    const dot = [...document.querySelectorAll('[data-part="second-fuses"] .terminal')].find((t) => t.textContent === "second-fuses.feed");
    const r = dot.getBoundingClientRect();
    return { x: r.x + r.width / 2, y: r.y + r.height / 2 };
  });
  await page.mouse.click(at.x, at.y);
  await page.waitForFunction(() => document.querySelector("#wire-from").value === "second-fuses.feed");
  await page.fill("#wire-to", "second-bar.s1");
  await page.selectOption("#wire-size", "1.5 mm²");
  await page.selectOption("#wire-colour", "blue");
  await page.waitForSelector(".advice >> text=cut");
  const advice = await page.textContent(".advice");
  assert.match(advice, /1\.5\smm²/u);
  assert.ok(!(await text()).includes("second-fuses-second-bar"), "a wire that is tried is not written");
  await page.click("text=Make this wire");
  await until(text, (t) => t.includes('from = "second-fuses.feed"\nto = "second-bar.s1"\nsize_mm2 = 1.5\ncolour = "blue"'), "the wire stands in the files");
  await saved(page);
  // Its size, with its unit.
  await page.waitForSelector(".in-hand >> text=second-fuses-second-bar");
  const size = await field(page, "size", "12");
  await page.waitForSelector(".key-why >> text=has no unit");
  assert.equal(await size.getAttribute("aria-invalid"), "true");
  await field(page, "size", "12 AWG");
  await until(text, (t) => t.includes("size_awg = 12"), "the gauge is written");
  await page.waitForSelector(".key-why", { state: "detached" });
  await page.click("text=/more that may be given/");
  await field(page, "length", "1 1/2 in");
  await until(text, (t) => t.includes("length_mm = 38.1"), "inches are read");
  await field(page, "insulation", "silicone");
  await until(text, (t) => t.includes('insulation = "silicone"'), "a word is chosen");
  await field(page, "length", "");
  await until(text, (t) => !t.includes("length_mm = 38.1"), "nothing typed takes the key out");
  await saved(page);
  await undoAll(page, text, original);
  assert.ok(await page.isDisabled(UNDO));
}));

test("a wire is drawn by keyboard alone", real_only, () => withDesk(async (page, text) => {
  const original = await text();
  await page.focus("[data-part] >> nth=0");
  await page.keyboard.press("w");
  await page.waitForFunction(() => document.activeElement?.id === "wire-from");
  await page.keyboard.type("fuses.out-2");
  await page.keyboard.press("Tab");
  await page.keyboard.type("lamp.plus");
  await page.keyboard.press("Escape");
  await page.waitForSelector(".advice >> text=cut");
  for (let i = 0; i < 12; i++) {
    if (await page.evaluate(() => document.activeElement?.textContent === "Make this wire")) break;
    await page.keyboard.press("Tab");
  }
  await page.keyboard.press("Enter");
  await until(text, (t) => t.includes('from = "fuses.out-2"\nto = "lamp.plus"'), "the wire stands in the files");
  await page.waitForFunction(() => document.activeElement?.closest(".thing") !== null);
  await undoAll(page, text, original);
}));

test("advice proposes a size, which can be taken", real_only, () => withDesk(async (page, text) => {
  await page.click("nav.pages >> text=Wires");
  await page.click("text=Draw a wire");
  await page.fill("#wire-from", "battery.plus");
  await page.fill("#wire-to", "main-switch.a");
  await page.selectOption("#wire-size", "0.14 mm²");
  await page.waitForSelector(".advice li");
  await page.click(".advice >> text=/^Take /");
  const taken = await page.inputValue("#wire-size");
  assert.notEqual(taken, "0.14 mm²");
  const original = await text();
  await page.click(".thing-head [aria-label=Close]");
  await page.waitForFunction(() => document.querySelectorAll(".thing").length === 0);
  assert.equal(await text(), original);
}));

test("what hangs on a part goes with it only when you say so", real_only, () => withDesk(async (page, text) => {
  const original = await text();
  const at = await gripOf(page, "return-bar");
  await page.mouse.click(at.x, at.y);
  await page.click(".in-hand >> text=Remove …");
  await page.click(".in-hand >> text=Remove return-bar");
  await page.waitForSelector(".in-hand >> text=2 wires hang on it: return-1 and lamp-minus");
  await page.click("text=Keep it");
  assert.equal(await text(), original);
  await page.click(".in-hand >> text=Remove return-bar");
  await page.click("text=Remove it with them");
  await until(text, (t) => !t.includes("return-bar"), "part and wires are gone");
  await page.click(UNDO);
  await until(text, (t) => t === original, "one step brings all back");
  // A switch is named by its wires and by a situation: a new name follows, and taking it out takes it from both.
  await page.click("nav.pages >> text=Parts");
  await page.click(".list button.link >> text=main-switch");
  await page.click(".in-hand >> text=All about it");
  await field(page, "name", "key-switch");
  await until(text, (t) => t.includes('from = "key-switch.b"') && t.includes('closed = ["key-switch"]') && !t.includes('"main-switch"'), "the name follows");
  await page.waitForSelector(".thing >> text=Remove key-switch");
  await page.click(".thing >> text=Remove key-switch");
  await page.click(".thing >> text=Remove it with them");
  await until(text, (t) => !t.includes("key-switch") && !t.includes("closed"), "it is gone everywhere");
  await undoAll(page, text, original);
}));

test("an opening is drawn, pulled wider, typed, moved and taken out", real_only, () => withDesk(async (page, text) => {
  const original = await text();
  await page.click("nav.pages >> text=Parts");
  await page.click("text=Cut an opening");
  const drag = async (a, b) => {
    await page.mouse.move(a.x, a.y);
    await page.mouse.down();
    await page.mouse.move(b.x, b.y, { steps: 5 });
    await page.mouse.up();
  };
  await drag(await onScreen(page, 30, 25), await onScreen(page, 70, 45));
  await until(text, (t) => /\[\[pass\]\]\nname = "opening"\nat_mm = \[50, 35\]\nlength_mm = 40\nwidth_mm = 20/u.test(t), "a slot is cut");
  await page.waitForSelector("[data-handle=length]");
  const handle = await page.evaluate(() => {
    const r = document.querySelector("[data-handle=length]").getBoundingClientRect();
    return { x: r.x + r.width / 2, y: r.y + r.height / 2 };
  });
  const out = await onScreen(page, 65, 35);
  await drag(handle, out);
  await until(text, (t) => t.includes("length_mm = 30"), "pulled by its handle");
  await drag(await onScreen(page, 50, 35), await onScreen(page, 45, 30));
  await until(text, (t) => t.includes("at_mm = [45, 30]"), "moved");
  await field(page, "width", "1,2 cm");
  await until(text, (t) => t.includes("width_mm = 12"), "typed");
  await page.click(".thing >> text=Remove opening");
  await until(text, (t) => !t.includes("[[pass]]"), "taken out");
  await undoAll(page, text, original);
  // A round one, in numbers.
  await page.click("text=Cut an opening");
  await page.click("text=round >> nth=0");
  await page.click("text=Cut it");
  await until(text, (t) => t.includes("diameter_mm = 30"), "a round one");
}));

test("a second part like one that is there", real_only, () => withDesk(async (page, text) => {
  const original = await text();
  const at = await gripOf(page, "fuses");
  await page.mouse.click(at.x, at.y);
  await page.click(".in-hand >> text=Duplicate");
  await page.waitForSelector('[data-part="fuses-2"]');
  await until(text, (t) => /name = "fuses-2"\ntype = "fuse-block-blade-4"[^[]*at_mm = \[[^\]]*\]\nfuses = \{ way-1 = "blade-2a" \}/u.test(t), "with its fuses");
  await undoAll(page, text, original);
}));

test("a zone, a bolt and a situation need little more than a name", real_only, () => withDesk(async (page, text) => {
  const original = await text();
  await page.click("nav.pages >> text=Parts");
  const add = async (kind, name) => {
    await page.selectOption(".list-page select", kind);
    if (name) await page.fill(".list-page .grow input:not([type=search])", name);
    await page.click("text=Add it");
    await page.waitForSelector(".thing");
  };
  await add("zone", "tail");
  await until(text, (t) => t.includes('[[zone]]\nname = "tail"'), "a zone");
  await page.click("text=/more that may be given/");
  await field(page, "path", "45 cm");
  await until(text, (t) => t.includes("path_mm = 450"), "with its path");
  await page.click(".thing-head [aria-label=Close]");
  await add("board-mount");
  await until(text, (t) => t.includes('name = "mount"\nat_mm = [120, 80]\nthread = "M5"'), "a bolt in the middle");
  await field(page, "at", "12, 148 mm");
  await until(text, (t) => t.includes("at_mm = [12, 148]"), "and where it belongs");
  await page.click(".thing-head [aria-label=Close]");
  await add("situation");
  await until(text, (t) => t.includes('[[situation]]\nname = "situation"'), "a situation");
  await field(page, "name", "carried");
  await until(text, (t) => t.includes('name = "carried"'), "with a name of its own");
  await undoAll(page, text, original);
}));

for (const [words, options] of [
  ["paper", { colorScheme: "light" }],
  ["slate", { colorScheme: "dark" }],
  ["narrow", { viewport: { width: 1024, height: 768 } }],
  ["phone", { viewport: { width: 360, height: 640 }, hasTouch: true }],
]) {
  test(`what is made can be read on ${words}`, real_only, () => withDesk(async (page) => {
    const phone = words === "phone";
    await mkdir(pictures, { recursive: true });
    const go = (name) => page.click(`${phone ? ".phone-bar" : "nav.pages"} >> text=${name}`);
    const check = async (where) => {
      await page.screenshot({ path: join(pictures, `editing-${words}-${where}.png`) });
      assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= page.viewportSize().width, where);
      const over = await page.evaluate((w) => [...document.querySelectorAll(".page *")].filter((e) => e.getBoundingClientRect().width > 0 && e.getBoundingClientRect().right > w + 1).length, page.viewportSize().width);
      assert.equal(over, 0, `${where}: nothing runs out at the right`);
      await page.evaluate(axeSource);
      const found = await page.evaluate(() => globalThis.axe.run(document));
      const serious = found.violations.filter((v) => ["serious", "critical"].includes(v.impact));
      assert.deepEqual(serious.map((v) => `${where}: ${v.id}: ${v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)).join(" | ")}`), []);
    };
    await go("Parts");
    await check("parts");
    await page.click("text=Add a part");
    await page.waitForSelector(".types li");
    await check("library");
    await page.fill(".thing input[type=search]", "fuse block");
    await page.click(".types button >> nth=0");
    await check("where");
    if (phone) {
      await page.click(".making >> text=to the board");
      await page.waitForSelector(".in-hand >> text=Click where");
      await check("placing");
      await page.tap(".drawing");
      await page.waitForSelector('[data-part^="fuse-block"]');
      await go("Parts");
    } else await page.click(".thing-head [aria-label=Close]");
    await go("Wires");
    await page.click("text=Draw a wire");
    await page.fill("#wire-from", "battery.plus");
    await page.fill("#wire-to", "main-switch.a");
    await page.waitForSelector(".advice >> text=cut");
    await check("wire");
    await page.click(".thing-head [aria-label=Close]");
    await go("Parts");
    await page.click("button.link >> text=The robot");
    await page.waitForSelector(".key");
    await check("robot");
    await page.click("text=/more that may be given/");
    await page.click(".why-key >> nth=1");
    await check("keys");
    await go("Parts");
    if (phone) await go("Parts");
    await page.click("text=Cut an opening");
    await check("opening");
    await page.click(".thing-head [aria-label=Close]");
    await go("Parts");
    await page.click(".list button.link >> text=main-switch");
    await page.waitForSelector(".in-hand >> visible=true");
    await check("chosen");
  }, options));
}
