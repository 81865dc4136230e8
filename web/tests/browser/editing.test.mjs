// Making things at the desk: parts, wires and openings, with nothing but the page.

import assert from "node:assert/strict";
import { test } from "node:test";
import { UNDO, choose, field, go, onScreen, saved } from "./hand.mjs";
import { filesOf, fresh, realOnly, until, walks } from "./stand.mjs";

const walk = walks();
const FRESH = { prepare: fresh };

async function undoAll(page, folder, original) {
  for (let i = 0; i < 20 && (await filesOf(folder)) !== original; i++) {
    const before = await filesOf(folder);
    await page.click(UNDO);
    await until(folder, (t) => t !== before, "a step is taken back");
  }
  assert.equal(await filesOf(folder), original);
}

test("a newcomer adds two parts, draws a wire between them, and takes all back", realOnly, () => walk(async (page, { folder }) => {
  const original = await filesOf(folder);
  await page.click(".tools >> text=Back");
  // A first part, from the library, by a click on the board.
  await go(page, "Parts");
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
  await until(folder, (t) => /name = "second-fuses"\ntype = "fuse-block-blade-4"\nface = "back"/u.test(t), "the part stands in the files");
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
  await go(page, "Wires");
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
  assert.ok(!(await filesOf(folder)).includes("second-fuses-second-bar"), "a wire that is tried is not written");
  await page.click("text=Make this wire");
  await until(folder, (t) => t.includes('from = "second-fuses.feed"\nto = "second-bar.s1"\nsize_mm2 = 1.5\ncolour = "blue"'), "the wire stands in the files");
  await saved(page);
  // Its size, with its unit.
  await page.waitForSelector(".in-hand >> text=second-fuses-second-bar");
  const size = await field(page, "size", "12");
  await page.waitForSelector(".key-why >> text=has no unit");
  assert.equal(await size.getAttribute("aria-invalid"), "true");
  await field(page, "size", "12 AWG");
  await until(folder, (t) => t.includes("size_awg = 12"), "the gauge is written");
  await page.waitForSelector(".key-why", { state: "detached" });
  await page.click("text=/more that may be given/");
  await field(page, "length", "1 1/2 in");
  await until(folder, (t) => t.includes("length_mm = 38.1"), "inches are read");
  await field(page, "insulation", "silicone");
  await until(folder, (t) => t.includes('insulation = "silicone"'), "a word is chosen");
  await field(page, "length", "");
  await until(folder, (t) => !t.includes("length_mm = 38.1"), "nothing typed takes the key out");
  await saved(page);
  await undoAll(page, folder, original);
  assert.ok(await page.isDisabled(UNDO));
}, {}, FRESH));

test("a wire is drawn by keyboard alone", realOnly, () => walk(async (page, { folder }) => {
  const original = await filesOf(folder);
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
  await until(folder, (t) => t.includes('from = "fuses.out-2"\nto = "lamp.plus"'), "the wire stands in the files");
  await page.waitForFunction(() => document.activeElement?.closest(".thing") !== null);
  await undoAll(page, folder, original);
}, {}, FRESH));

test("advice proposes a size, which can be taken", realOnly, () => walk(async (page, { folder }) => {
  await go(page, "Wires");
  await page.click("text=Draw a wire");
  await page.fill("#wire-from", "battery.plus");
  await page.fill("#wire-to", "main-switch.a");
  await page.selectOption("#wire-size", "0.14 mm²");
  await page.waitForSelector(".advice li");
  await page.click(".advice >> text=/^Take /");
  const taken = await page.inputValue("#wire-size");
  assert.notEqual(taken, "0.14 mm²");
  const original = await filesOf(folder);
  await page.click(".thing-head [aria-label=Close]");
  await page.waitForFunction(() => document.querySelectorAll(".thing").length === 0);
  assert.equal(await filesOf(folder), original);
}, {}, FRESH));

test("what hangs on a part goes with it only when you say so", realOnly, () => walk(async (page, { folder }) => {
  const original = await filesOf(folder);
  await choose(page, "return-bar");
  await page.click(".in-hand >> text=Remove …");
  await page.click(".in-hand >> text=Remove return-bar");
  await page.waitForSelector(".in-hand >> text=2 wires hang on it: return-1 and lamp-minus");
  await page.click("text=Keep it");
  assert.equal(await filesOf(folder), original);
  await page.click(".in-hand >> text=Remove return-bar");
  await page.click("text=Remove it with them");
  await until(folder, (t) => !t.includes("return-bar"), "part and wires are gone");
  await page.click(UNDO);
  await until(folder, (t) => t === original, "one step brings all back");
  // A switch is named by its wires and by a situation: a new name follows, and taking it out takes it from both.
  await go(page, "Parts");
  await page.click(".list button.link >> text=main-switch");
  await page.click(".in-hand >> text=All about it");
  await field(page, "name", "key-switch");
  await until(folder, (t) => t.includes('from = "key-switch.b"') && t.includes('closed = ["key-switch"]') && !t.includes('"main-switch"'), "the name follows");
  await page.waitForSelector(".thing >> text=Remove key-switch");
  await page.click(".thing >> text=Remove key-switch");
  await page.click(".thing >> text=Remove it with them");
  await until(folder, (t) => !t.includes("key-switch") && !t.includes("closed"), "it is gone everywhere");
  await undoAll(page, folder, original);
}, {}, FRESH));

test("an opening is drawn, pulled wider, typed, moved and taken out", realOnly, () => walk(async (page, { folder }) => {
  const original = await filesOf(folder);
  await go(page, "Parts");
  await page.click("text=Cut an opening");
  const drag = async (a, b) => {
    await page.mouse.move(a.x, a.y);
    await page.mouse.down();
    await page.mouse.move(b.x, b.y, { steps: 5 });
    await page.mouse.up();
  };
  await drag(await onScreen(page, 30, 25), await onScreen(page, 70, 45));
  await until(folder, (t) => /\[\[pass\]\]\nname = "opening"\nat_mm = \[50, 35\]\nlength_mm = 40\nwidth_mm = 20/u.test(t), "a slot is cut");
  await page.waitForSelector("[data-handle=length]");
  const handle = await page.evaluate(() => {
    const r = document.querySelector("[data-handle=length]").getBoundingClientRect();
    return { x: r.x + r.width / 2, y: r.y + r.height / 2 };
  });
  const out = await onScreen(page, 65, 35);
  await drag(handle, out);
  await until(folder, (t) => t.includes("length_mm = 30"), "pulled by its handle");
  await drag(await onScreen(page, 50, 35), await onScreen(page, 45, 30));
  await until(folder, (t) => t.includes("at_mm = [45, 30]"), "moved");
  await field(page, "width", "1,2 cm");
  await until(folder, (t) => t.includes("width_mm = 12"), "typed");
  await page.click(".thing >> text=Remove opening");
  await until(folder, (t) => !t.includes("[[pass]]"), "taken out");
  await undoAll(page, folder, original);
  // A round one, in numbers.
  await page.click("text=Cut an opening");
  await page.click("text=round >> nth=0");
  await page.click("text=Cut it");
  await until(folder, (t) => t.includes("diameter_mm = 30"), "a round one");
}, {}, FRESH));

test("a second part like one that is there", realOnly, () => walk(async (page, { folder }) => {
  const original = await filesOf(folder);
  await choose(page, "fuses");
  await page.click(".in-hand >> text=Duplicate");
  await page.waitForSelector('[data-part="fuses-2"]');
  await until(folder, (t) => /name = "fuses-2"\ntype = "fuse-block-blade-4"[^[]*at_mm = \[[^\]]*\]\nfuses = \{ way-1 = "blade-2a" \}/u.test(t), "with its fuses");
  await undoAll(page, folder, original);
}, {}, FRESH));

test("a zone, a bolt and a situation need little more than a name", realOnly, () => walk(async (page, { folder }) => {
  const original = await filesOf(folder);
  await go(page, "Parts");
  const add = async (kind, name) => {
    await page.selectOption(".list-page select", kind);
    if (name) await page.fill(".list-page .grow input:not([type=search])", name);
    await page.click("text=Add it");
    await page.waitForSelector(".thing");
  };
  await add("zone", "tail");
  await until(folder, (t) => t.includes('[[zone]]\nname = "tail"'), "a zone");
  await page.click("text=/more that may be given/");
  await field(page, "path", "45 cm");
  await until(folder, (t) => t.includes("path_mm = 450"), "with its path");
  await page.click(".thing-head [aria-label=Close]");
  await add("board-mount");
  await until(folder, (t) => t.includes('name = "mount"\nat_mm = [120, 80]\nthread = "M5"'), "a bolt in the middle");
  await field(page, "at", "12, 148 mm");
  await until(folder, (t) => t.includes("at_mm = [12, 148]"), "and where it belongs");
  await page.click(".thing-head [aria-label=Close]");
  await add("situation");
  await until(folder, (t) => t.includes('[[situation]]\nname = "situation"'), "a situation");
  await field(page, "name", "carried");
  await until(folder, (t) => t.includes('name = "carried"'), "with a name of its own");
  await undoAll(page, folder, original);
}, {}, FRESH));
