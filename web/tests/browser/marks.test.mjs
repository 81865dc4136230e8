// What a finding is about is drawn where it happens, and follows the hand. With the real desk: what is drawn is
// worked out by it.

import assert from "node:assert/strict";
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import { UNDO, gripOf, placeOf, placed, saved, stepped } from "./hand.mjs";
import { realOnly, walks } from "./stand.mjs";

const walk = walks();
const boxes = (page, selector) => page.evaluate((s) => [...document.querySelectorAll(s)].map((e) => {
  const r = e.getBoundingClientRect();
  return { x: r.x, y: r.y, right: r.right, bottom: r.bottom };
}), selector);
const outline = async (page, name) => (await boxes(page, `[data-part="${name}"] .part-outline`))[0];
const meets = (a, b) => a.x < b.right + 2 && b.x < a.right + 2 && a.y < b.bottom + 2 && b.y < a.bottom + 2;

test("a drag onto another part hatches what they share, with its depth, and away again it is gone", realOnly, () => walk(async (page) => {
  const before = (await boxes(page, ".mark-clash")).length;
  const was = await placeOf(page, "quiet-fuses");
  const at = await gripOf(page, "quiet-fuses");
  const [mine, other] = [await outline(page, "quiet-fuses"), await outline(page, "main-bus")];
  // Its left edge a good piece into the other's right.
  await page.mouse.move(at.x, at.y);
  await page.mouse.down();
  await page.mouse.move(at.x + other.right - mine.x - 25, at.y, { steps: 10 });
  await page.waitForFunction((n) => document.querySelectorAll(".mark-clash").length > n, before);
  assert.ok(await page.isDisabled(UNDO), "it is still in the hand");
  const held = await outline(page, "quiet-fuses");
  const shared = (await boxes(page, ".mark-clash.fix, .mark-clash.danger")).filter((b) => meets(b, held) && meets(b, other));
  assert.ok(shared.length > 0, "hatched where both are");
  // What is written on the tags is what the list says just now.
  const [onBoard, listed] = await page.evaluate(() => [
    [...document.querySelectorAll("g[data-finding]")].map((t) => `${t.dataset.number} ${t.dataset.finding}`),
    [...document.querySelectorAll(".finding[data-item]")].map((f) => `${f.querySelector(".tag-number").textContent} ${f.dataset.item}`),
  ]);
  assert.ok(onBoard.length > 5, "the tags stay while the hand moves");
  assert.deepEqual(onBoard.filter((t) => !listed.includes(t)), []);
  const words = (await page.textContent(".mark-words")).replace(/\s/gu, " ");
  assert.match(words, /[\d.]+ mm/u);
  await page.mouse.up();
  await saved(page);
  await page.waitForTimeout(700);
  assert.ok((await boxes(page, ".mark-clash")).length > before, "and at rest");
  // The hand mends it: back to where it stood.
  const now = await gripOf(page, "quiet-fuses");
  await page.mouse.move(now.x, now.y);
  await page.mouse.down();
  await page.mouse.move(now.x - (held.x - mine.x), now.y, { steps: 10 });
  await page.waitForFunction((n) => document.querySelectorAll(".mark-clash").length <= n, before);
  await page.mouse.up();
  await saved(page);
  await page.waitForTimeout(700);
  assert.ok((await boxes(page, ".mark-clash")).length <= before);
  // And taken back, step by step.
  await page.click(UNDO);
  await page.waitForFunction((n) => document.querySelectorAll(".mark-clash").length > n, before);
  await page.click(UNDO);
  await placed(page, "quiet-fuses", was);
}));

test("a part over the board's edge is hatched beyond it", realOnly, () => walk(async (page) => {
  const at = await gripOf(page, "return-bus");
  const sheet = (await boxes(page, ".sheet-face"))[0];
  const mine = await outline(page, "return-bus");
  await page.mouse.move(at.x, at.y);
  await page.mouse.down();
  await page.mouse.move(at.x, at.y + sheet.bottom - mine.bottom + 20, { steps: 10 });
  await page.waitForFunction((edge) => [...document.querySelectorAll(".mark-clash")].some((e) => {
    const r = e.getBoundingClientRect();
    return r.top > edge - 3 && r.height > 8;
  }), sheet.bottom);
  await page.keyboard.press("Escape");
  await page.mouse.up();
  await page.waitForFunction((edge) => ![...document.querySelectorAll(".mark-clash")].some((e) => e.getBoundingClientRect().top > edge - 3), sheet.bottom);
}));

test("bend room and reach are layers, off at first, and follow what is moved", realOnly, () => walk(async (page) => {
  assert.equal((await boxes(page, ".room")).length, 0);
  for (const [layer, least] of [["bend room", 20], ["reach of tools", 40]]) {
    await page.click("button:has-text('Show')");
    await page.click(`label:has-text('${layer}')`);
    await page.keyboard.press("Escape");
    await page.waitForFunction((n) => document.querySelectorAll(".room").length > n, least);
  }
  const told = () => page.textContent(".rooms-told");
  assert.match(await told(), /Bend room: +\d+ free, +\d+ with something in the way.*Reach: +\d+ free/u);
  const first = await page.evaluate(() => [...document.querySelectorAll(".room title")].map((t) => t.textContent));
  assert.ok(first.some((t) => /^the screw of .*: screwdriver; free$/u.test(t)) || first.some((t) => t.includes("free")), String(first.slice(0, 3)));
  // A part put over another's screws stands in their way.
  const blocked = () => page.evaluate(() => document.querySelectorAll(".room.blocked").length);
  const free = await blocked();
  const at = await gripOf(page, "quiet-fuses");
  const [mine, other] = [await outline(page, "quiet-fuses"), await outline(page, "main-bus")];
  await page.mouse.move(at.x, at.y);
  await page.mouse.down();
  await page.mouse.move(at.x + other.x - mine.x + 10, at.y, { steps: 10 });
  await page.waitForFunction((n) => document.querySelectorAll(".room.blocked").length > n, free);
  await page.keyboard.press("Escape");
  await page.mouse.up();
  await page.waitForFunction((n) => document.querySelectorAll(".room.blocked").length === n, free);
}));

test("plugs are dragged, nudged, turned and moved to the other face like parts", realOnly, () => walk(async (page) => {
  const was = await placeOf(page, "hatch-plug");
  const at = await gripOf(page, "hatch-plug");
  await page.mouse.move(at.x, at.y);
  await page.mouse.down();
  await page.mouse.move(at.x, at.y - 90, { steps: 8 });
  await page.mouse.up();
  await stepped(page);
  await saved(page);
  assert.match(await page.getAttribute(UNDO, "title"), /Undo: Move hatch-plug .* up/u);
  const there = await placeOf(page, "hatch-plug");
  assert.notEqual(there, was);
  await page.locator('[data-part="hatch-plug"]').focus();
  await page.keyboard.press("ArrowUp");
  await page.waitForFunction((t) => document.querySelector('[data-part="hatch-plug"]').getAttribute("aria-label") !== t, there);
  await page.waitForFunction((u) => document.querySelector("button[title*='1\u202fmm up']") !== null || document.title === u, "");
  await page.keyboard.press("r");
  await page.waitForSelector("button[title*='Turn hatch-plug by 90']");
  await saved(page);
  await page.click("text=To the back");
  await page.waitForSelector('button[aria-pressed="true"]:has-text("Back")');
  await page.waitForSelector('[data-part="hatch-plug"]');
  await saved(page);
  for (let i = 0; i < 4; i++) {
    await page.click(UNDO);
    await page.waitForTimeout(150);
  }
  await page.click("button:has-text('Front')");
  await placed(page, "hatch-plug", was);
}));

test("a tailed plug moves along its edge together with a chosen part", realOnly, () => walk(async (page) => {
  const was = [await placeOf(page, "left-plug"), await placeOf(page, "left-fuse")];
  const fuse = await gripOf(page, "left-fuse");
  await page.mouse.click(fuse.x, fuse.y);
  const plug = await gripOf(page, "left-plug");
  await page.keyboard.down("Shift");
  await page.mouse.click(plug.x, plug.y);
  await page.keyboard.up("Shift");
  await page.waitForSelector("text=2 things");
  await page.mouse.move(plug.x, plug.y);
  await page.mouse.down();
  await page.mouse.move(plug.x, plug.y - 40, { steps: 6 });
  await page.mouse.up();
  await stepped(page);
  await saved(page);
  assert.notEqual(await placeOf(page, "left-plug"), was[0]);
  assert.notEqual(await placeOf(page, "left-fuse"), was[1]);
  await page.click(UNDO);
  await placed(page, "left-plug", was[0]);
  await placed(page, "left-fuse", was[1]);
}));

test("bolts of the board and kept-out areas move once they are chosen, and not before", realOnly, () => walk(async (page) => {
  const bolt = await page.getAttribute("g.bolt", "data-part");
  for (const key of [bolt, "keep-out:rib"]) {
    const was = await placeOf(page, key);
    const grip = () => page.evaluate((key) => {
      const r = document.querySelector(`[data-part="${key}"] :is(.keep-out, .bolt-hit)`).getBoundingClientRect();
      for (let i = 1; i < 20; i++) for (let j = 1; j < 20; j++) {
        const [x, y] = [r.x + (r.width * i) / 20, r.y + (r.height * j) / 20];
        if (document.elementFromPoint(x, y)?.closest("[data-part]")?.getAttribute("data-part") === key) return { x, y };
      }
      return null;
    }, key);
    const drag = async () => {
      const at = await grip();
      assert.ok(at, `${key} can be taken`);
      await page.mouse.move(at.x, at.y);
      await page.mouse.down();
      await page.mouse.move(at.x + 30, at.y, { steps: 6 });
      await page.mouse.up();
    };
    await drag();
    await page.waitForTimeout(150);
    assert.equal(await placeOf(page, key), was, "a drag over it moves the picture");
    const at = await grip();
    await page.mouse.click(at.x, at.y);
    assert.equal(await page.getAttribute(`[data-part="${key}"]`, "aria-pressed"), "true");
    await drag();
    await page.waitForFunction(([k, w]) => document.querySelector(`[data-part="${k}"]`).getAttribute("aria-label") !== w, [key, was]);
    await saved(page);
    await page.click(UNDO);
    await placed(page, key, was);
    await page.click("[aria-label='Put down']");
  }
}, {}, {
  prepare: async (folder) => {
    const file = join(folder, "board.toml");
    await writeFile(file, `${await readFile(file, "utf8")}\n[[keep_out]]\nname = "rib"\nface = "front"\nat_mm = [330, 40]\nsize_mm = [60, 60]\n`);
  },
}));
