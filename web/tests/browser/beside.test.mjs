// A text editor beside the desk, and two tabs on it: everybody sees the same, and nothing is overwritten silently.

import assert from "node:assert/strict";
import { readFile, readdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import { UNDO, choose, drag, placeOf, placed, saved, stepped } from "./hand.mjs";
import { another, filesOf, fresh, realOnly, until, walks } from "./stand.mjs";

const walk = walks();
const FRESH = { prepare: fresh };

/** An editor: changes the file in which the words stand, by itself. */
async function edit(folder, from, to) {
  for (const name of (await readdir(folder)).filter((f) => f.endsWith(".toml"))) {
    const path = join(folder, name);
    const text = await readFile(path, "utf8");
    if (!text.includes(from)) continue;
    await writeFile(path, text.replace(from, to));
    return { path, text };
  }
  return assert.fail(`${from} stands nowhere`);
}
/** The line of the file that places a part. */
const lineOf = (text, name) => new RegExp(`name = "${name}"[^\\[]*?(at_mm = \\[[^\\]]*\\])`, "u").exec(text)[1];

test("an editor moves another part while one is dragged: both stand", realOnly, () => walk(async (page, { folder }) => {
  const text = await filesOf(folder);
  const other = await placeOf(page, "return-bar");
  await drag(page, "fuses", -30, 40, { release: false });
  const held = await placeOf(page, "fuses");
  await edit(folder, lineOf(text, "return-bar"), "at_mm = [10, 10]");
  await page.waitForFunction(() => document.querySelector('[data-part="return-bar"]').getAttribute("aria-label").includes("at 10"));
  assert.equal(await placeOf(page, "fuses"), held, "what you hold stays in your hand");
  await page.mouse.up();
  await saved(page);
  await stepped(page);
  const now = await until(folder, (t) => lineOf(t, "fuses") !== lineOf(text, "fuses"), "the drag is written");
  assert.equal(lineOf(now, "return-bar"), "at_mm = [10, 10]");
  assert.equal(await page.locator(".notice").count(), 0);
  // Two steps: yours, then the editor's.
  await page.click(UNDO);
  await until(folder, (t) => lineOf(t, "fuses") === lineOf(text, "fuses") && lineOf(t, "return-bar") === "at_mm = [10, 10]", "yours is taken back");
  await page.click(UNDO);
  await until(folder, (t) => t === text, "then the editor's");
  await placed(page, "return-bar", other);
}, {}, FRESH));

test("an editor moves the part that you drag: your move is not made, and you are told", realOnly, () => walk(async (page, { folder }) => {
  const text = await filesOf(folder);
  await drag(page, "fuses", -30, 40, { release: false });
  await edit(folder, lineOf(text, "fuses"), "at_mm = [100, 40]");
  // The other change has been seen when it can be taken back.
  await stepped(page);
  await page.mouse.up();
  await page.waitForSelector(".notice >> text=/was changed meanwhile/");
  await page.waitForFunction(() => document.querySelector('[data-part="fuses"]').getAttribute("aria-label").includes("at 100"));
  assert.equal(lineOf(await filesOf(folder), "fuses"), "at_mm = [100, 40]", "the editor's stays");
  await page.click(".notice [aria-label=Read]");
  // Once more, now that you have seen it.
  await drag(page, "fuses", -20, 20);
  await until(folder, (t) => !["at_mm = [100, 40]", lineOf(text, "fuses")].includes(lineOf(t, "fuses")), "the second move is made");
  await saved(page);
}, {}, FRESH));

test("a file broken in the middle of a line while you drag, and mended", realOnly, () => walk(async (page, { folder }) => {
  const text = await filesOf(folder);
  const start = await placeOf(page, "fuses");
  await drag(page, "fuses", -30, 40, { release: false });
  const { path, text: whole } = await edit(folder, lineOf(text, "return-bar"), "at_mm = [10, ");
  await page.waitForSelector(".notice.broken >> text=/\\.toml, line \\d+/");
  await page.mouse.up();
  await page.waitForSelector(".notice >> text=/nothing is changed in them/");
  await placed(page, "fuses", start);
  assert.equal(await readFile(path, "utf8"), whole.replace(lineOf(text, "return-bar"), "at_mm = [10, "), "the half line is left as the editor left it");
  await writeFile(path, whole.replace(lineOf(text, "return-bar"), "at_mm = [10, 10]"));
  await page.waitForSelector(".notice.broken", { state: "detached" });
  await page.waitForFunction(() => document.querySelector('[data-part="return-bar"]').getAttribute("aria-label").includes("at 10"));
  await drag(page, "fuses", -30, 40);
  await until(folder, (t) => lineOf(t, "fuses") !== lineOf(text, "fuses"), "moving goes on");
}, {}, FRESH));

test("two tabs: one edits, the other sees; both edit the same key, and the later one is told", realOnly, () => walk(async (page, { folder }) => {
  const other = await another(page);
  await drag(page, "fuses", -30, 40);
  await stepped(page);
  const there = await placeOf(page, "fuses");
  await placed(other, "fuses", there);
  // The same key in both: the other tab holds the part while this one moves it.
  await other.bringToFront();
  await drag(other, "fuses", 40, -20, { release: false });
  await page.bringToFront();
  // What the other tab tries shows here too; once it does, nothing moves under the pointer.
  await placed(page, "fuses", await placeOf(other, "fuses"));
  if ((await page.getAttribute('[data-part="fuses"]', "aria-pressed")) !== "true") await choose(page, "fuses");
  const place = page.locator(".in-hand input").first();
  await place.fill("77");
  await place.press("Enter");
  await until(folder, (t) => /at_mm = \[77, /u.test(lineOf(t, "fuses")), "this tab's is written");
  await other.bringToFront();
  await other.waitForFunction(() => /77/u.test(document.querySelector(".steps button").title));
  await other.mouse.up();
  await other.waitForSelector(".notice >> text=/was changed meanwhile/");
  await other.waitForFunction(() => document.querySelector('[data-part="fuses"]').getAttribute("aria-label").includes("at 77"));
  assert.match(lineOf(await filesOf(folder), "fuses"), /\[77, /u);
  await placed(page, "fuses", await placeOf(other, "fuses"));
  // Other keys: both stand.
  await other.click(".notice [aria-label=Read]");
  await drag(other, "return-bar", 20, 0, { release: false });
  await page.bringToFront();
  await place.fill("78");
  await place.press("Enter");
  await until(folder, (t) => /at_mm = \[78, /u.test(lineOf(t, "fuses")), "this tab's is written");
  await other.bringToFront();
  await other.mouse.up();
  const before = await placeOf(other, "return-bar");
  await placed(page, "return-bar", before);
  assert.equal(await other.locator(".notice").count(), 0);
  assert.deepEqual(other.wrong, []);
}, {}, FRESH));
