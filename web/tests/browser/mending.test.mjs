// A finding that the hand makes and mends, and one that its remedy mends: done, undone, done again.

import assert from "node:assert/strict";
import { test } from "node:test";
import { LONG, REDO, UNDO, drag, findingsOf, gripOf, onScreen, placeOf, placed, saved, stepped } from "./hand.mjs";
import { filesOf, fresh, realOnly, spoilt, until, walks } from "./stand.mjs";

const walk = walks();
const keys = async (page) => (await findingsOf(page)).map((f) => f.key).sort();
const here = (page, key) => page.waitForFunction((k) => [...document.querySelectorAll("[data-item]")].some((e) => e.getAttribute("data-item") === k), key, LONG);
const gone = (page, key) => page.waitForFunction((k) => ![...document.querySelectorAll("[data-item]")].some((e) => e.getAttribute("data-item") === k), key, LONG);

test("a drag makes a finding while you hold it, and the drag back mends it", realOnly, () => walk(async (page, { folder }) => {
  const original = await filesOf(folder);
  const before = await keys(page);
  const start = await placeOf(page, "fuses");
  // Onto the return bar, mm of the board.
  const [a, b] = [await onScreen(page, 120, 70), await onScreen(page, 110, 25)];
  const grip = await drag(page, "fuses", b.x - a.x, b.y - a.y, { release: false });
  await page.waitForFunction((n) => [...document.querySelectorAll(".finding .finding-words")].some((e) => /fuses/u.test(e.textContent) && /return-bar/u.test(e.textContent)) && document.querySelectorAll("[data-item]").length > n, before.length, LONG);
  const come = (await findingsOf(page)).filter((f) => !before.includes(f.key));
  assert.ok(come.some((f) => f.severity === "danger" || f.severity === "fix"), JSON.stringify(come));
  assert.equal(await filesOf(folder), original, "nothing is written while you hold it");
  // Back in the same drag: gone before you let go.
  await page.mouse.move(grip.x, grip.y, { steps: 6 });
  for (const f of come) await gone(page, f.key);
  await page.mouse.up();
  await placed(page, "fuses", start);
  assert.ok(await page.isDisabled(UNDO), "there and back is no step");
  assert.equal(await filesOf(folder), original);
  // Dropped there, it stays; dragged back, it goes. Two steps.
  await drag(page, "fuses", b.x - a.x, b.y - a.y);
  await stepped(page);
  for (const f of come) await here(page, f.key);
  await until(folder, (t) => t !== original, "the drop is written");
  await page.waitForFunction((keys) => [...document.querySelectorAll(".tag[data-finding]")].some((t) => keys.includes(t.getAttribute("data-finding"))), come.map((f) => f.key));
  const away = await gripOf(page, "fuses");
  await page.mouse.move(away.x, away.y);
  await page.mouse.down();
  await page.mouse.move(away.x + a.x - b.x, away.y + a.y - b.y, { steps: 6 });
  await page.mouse.up();
  for (const f of come) await gone(page, f.key);
  await saved(page);
  await placed(page, "fuses", start);
  await until(folder, (t) => t === original, "the files read as before");
  // What is looked at when the hand rests has followed too.
  await page.waitForFunction((b) => JSON.stringify([...document.querySelectorAll("[data-item]")].map((e) => e.getAttribute("data-item")).sort()) === JSON.stringify(b), before, LONG);
}, {}, { prepare: fresh }));

test("a remedy is done, undone and done again; the files follow to the letter", realOnly, () => walk(async (page, { folder }) => {
  const original = await filesOf(folder);
  // One that no longer fits its terminal: its remedy changes one line.
  const finding = page.locator(".finding").filter({ hasText: /too thick/u }).first();
  await finding.locator(".finding-head").click();
  const key = await page.getAttribute(".finding.open", "data-item");
  await page.click(".finding.open >> text=See what it leads to >> nth=0");
  await page.waitForSelector(".outcome .lines", LONG);
  const [out, put] = await page.evaluate(() => ["del", "ins"].map((t) => [...document.querySelectorAll(`.outcome ${t}`)].map((e) => e.lastChild.textContent.replace(/^[−+] /u, "").trim())));
  assert.ok(out.length > 0 && put.length > 0);
  assert.equal(await filesOf(folder), original, "looking changes nothing");
  await page.click(".outcome button.main");
  await gone(page, key);
  const mended = await until(folder, (t) => t !== original, "the remedy is written");
  for (const line of put) assert.ok(mended.includes(line), line);
  await stepped(page);
  assert.match(await page.getAttribute(UNDO, "title"), /^Undo: /u);
  await page.click(UNDO);
  await here(page, key);
  await until(folder, (t) => t === original, "undone to the letter");
  await page.click(REDO);
  await gone(page, key);
  await until(folder, (t) => t === mended, "done again to the letter");
  await page.waitForSelector(`${REDO}[disabled]`);
  // After another step there is nothing to do again.
  await page.click(UNDO);
  await here(page, key);
  await drag(page, "fuses", -40, 40);
  await page.waitForSelector(`${REDO}[disabled]`);
  await until(folder, (t) => t !== original && t !== mended, "the other step is written");
}, {}, { prepare: spoilt }));
