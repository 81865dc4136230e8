// Hands and keys on the board.

import assert from "node:assert/strict";
import { test } from "node:test";
import { REDO, UNDO, choose, drag, gripOf, middleOf, placeOf, placed, saved, stepped } from "./hand.mjs";
import { walks } from "./stand.mjs";

const walk = walks();

test("a dragged part moves at once, is one step, and comes back by undo", () => walk(async (page) => {
  const before = await placeOf(page, "quiet-fuses");
  const from = await middleOf(page, "quiet-fuses");
  await drag(page, "quiet-fuses", -60, 90, { release: false });
  const during = await middleOf(page, "quiet-fuses");
  assert.ok(Math.abs(during.x - from.x + 60) < 12 && Math.abs(during.y - from.y - 90) < 12, "it follows the hand");
  assert.ok(await page.isDisabled(UNDO), "nothing is kept while it is in the hand");
  await page.mouse.up();
  await stepped(page);
  await saved(page);
  const after = await placeOf(page, "quiet-fuses");
  assert.notEqual(after, before);
  assert.match(await page.getAttribute(UNDO, "title"), /Undo: Move quiet-fuses .* left and .* down/u);
  await page.click(UNDO);
  await placed(page, "quiet-fuses", before);
  await page.click(REDO);
  await placed(page, "quiet-fuses", after);
}));

test("Escape puts back what is in the hand, and keeps nothing", () => walk(async (page) => {
  const before = await placeOf(page, "quiet-fuses");
  await drag(page, "quiet-fuses", 40, 40, { release: false });
  assert.notEqual(await placeOf(page, "quiet-fuses"), before);
  await page.keyboard.press("Escape");
  await placed(page, "quiet-fuses", before);
  await page.mouse.up();
  await page.waitForTimeout(200);
  assert.equal(await placeOf(page, "quiet-fuses"), before);
  assert.ok(await page.isDisabled(UNDO));
}));

test("several parts are chosen, moved together, lined up and spaced", () => walk(async (page) => {
  const names = ["live-bus", "main-bus", "quiet-fuses"];
  for (const [i, name] of names.entries()) {
    const at = await gripOf(page, name);
    if (i > 0) await page.keyboard.down("Shift");
    await page.mouse.click(at.x, at.y);
    await page.keyboard.up("Shift");
  }
  await page.waitForSelector("text=3 parts");
  await page.selectOption(".in-hand select", "top");
  await saved(page);
  await page.waitForFunction((names) => {
    const tops = names.map((n) => document.querySelector(`[data-part="${n}"] .part-outline`).getBoundingClientRect().top);
    return Math.max(...tops) - Math.min(...tops) < 0.5;
  }, names);
  await page.click("text=Space evenly across");
  await saved(page);
  await page.waitForFunction((names) => {
    const r = names.map((n) => document.querySelector(`[data-part="${n}"] .part-outline`).getBoundingClientRect()).sort((a, b) => a.left - b.left);
    return Math.abs(r[1].left - r[0].right - (r[2].left - r[1].right)) < 1;
  }, names);
}));

test("a rubber band with Shift chooses what it covers", () => walk(async (page) => {
  const a = await middleOf(page, "live-bus");
  const b = await middleOf(page, "main-bus");
  await page.keyboard.down("Shift");
  await page.mouse.move(a.x - a.width, a.y - 45);
  await page.mouse.down();
  await page.mouse.move(b.x, b.y, { steps: 4 });
  await page.mouse.up();
  await page.keyboard.up("Shift");
  assert.equal(await page.getAttribute('[data-part="live-bus"]', "aria-pressed"), "true");
  assert.equal(await page.getAttribute('[data-part="main-bus"]', "aria-pressed"), "true");
}));

test("the back is mirrored, and a part can be moved to it", () => walk(async (page) => {
  const sheet = () => page.evaluate(() => {
    const r = document.querySelector(".sheet-face").getBoundingClientRect();
    return r.x + r.width / 2;
  });
  const front = await middleOf(page, "quiet-fuses");
  const ahead = front.x - (await sheet());
  const x = await page.locator('[data-part="quiet-fuses"]').getAttribute("aria-label");
  await choose(page, "quiet-fuses");
  await page.click("text=To the back");
  await page.waitForSelector('button[aria-pressed="true"]:has-text("Back")');
  await page.waitForSelector('[data-part="quiet-fuses"]');
  await saved(page);
  const back = await middleOf(page, "quiet-fuses");
  const behind = back.x - (await sheet());
  assert.ok(Math.abs(ahead) > 20 && Math.abs(ahead + behind) < 2, "it covers the same place, seen from behind");
  assert.ok(Math.abs(front.y - back.y) < 2);
  await page.keyboard.press("Control+z");
  await page.click("button:has-text('Front')");
  await page.waitForSelector('[data-part="quiet-fuses"]');
  assert.equal(await page.locator('[data-part="quiet-fuses"]').getAttribute("aria-label"), x);
}));

test("a part turns about its own middle", () => walk(async (page) => {
  const before = await middleOf(page, "return-bus");
  await choose(page, "return-bus");
  await page.click("[aria-label='Turn by 90° to the left']");
  await saved(page);
  await page.waitForFunction((w) => Math.abs(document.querySelector('[data-part="return-bus"] .part-outline').getBoundingClientRect().height - w) < 1, before.width);
  const after = await middleOf(page, "return-bus");
  assert.ok(Math.abs(after.x - before.x) < 1 && Math.abs(after.y - before.y) < 1);
}));

test("the board turns over about its upright axis, unless motion is unwanted", () => walk(async (page) => {
  const width = () => page.evaluate(() => document.querySelector(".sheet-face").getBoundingClientRect().width);
  const whole = await width();
  await page.evaluate(() => {
    window.seen = [];
    const look = () => {
      window.seen.push(document.querySelector(".sheet-face").getBoundingClientRect().width);
      requestAnimationFrame(look);
    };
    look();
  });
  await page.click("button:has-text('Back')");
  await page.waitForTimeout(700);
  const seen = await page.evaluate(() => window.seen);
  assert.ok(Math.min(...seen) < whole * 0.8, `it narrows while it turns: ${seen.map(Math.round)}`);
  await page.waitForFunction((w) => Math.abs(document.querySelector(".sheet-face").getBoundingClientRect().width - w) < 0.5, whole);
}, { reducedMotion: "no-preference" }));

test("the wheel zooms about the pointer", () => walk(async (page) => {
  const at = await middleOf(page, "main-bus");
  await page.mouse.move(at.x, at.y);
  await page.mouse.wheel(0, -300);
  await page.waitForFunction((w) => document.querySelector('[data-part="main-bus"] .part-outline').getBoundingClientRect().width > w * 1.2, at.width);
  const near = await middleOf(page, "main-bus");
  assert.ok(Math.abs(near.x - at.x) < 1 && Math.abs(near.y - at.y) < 1);
}));

test("two fingers zoom, one pans", () => walk(async (page) => {
  const before = await middleOf(page, "main-bus");
  const cdp = await page.context().newCDPSession(page);
  const touch = (type, points) => cdp.send("Input.dispatchTouchEvent", { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
  await touch("touchStart", [[400, 300], [500, 300]]);
  for (let i = 1; i <= 5; i++) await touch("touchMove", [[400 - 10 * i, 300], [500 + 10 * i, 300]]);
  await touch("touchEnd", []);
  const near = await middleOf(page, "main-bus");
  assert.ok(Math.abs(near.width / before.width - 2) < 0.1, `twice as near: ${near.width / before.width}`);
}, { hasTouch: true }));

test("measuring between two features", () => walk(async (page) => {
  await page.click("button:has-text('Measure')");
  const corner = async (name) => page.evaluate((n) => {
    const r = document.querySelector(`[data-part="${n}"] .part-outline`).getBoundingClientRect();
    return { x: r.left + 0.5, y: r.bottom - 0.5 };
  }, name);
  for (const name of ["live-bus", "main-bus"]) {
    const at = await corner(name);
    await page.mouse.click(at.x, at.y);
  }
  // Their places in the files: x = 50 and x = 200, y = 335.
  assert.match((await page.textContent(".in-hand")).replace(/\s/gu, " "), /^150 mm from .*: 150 mm across, 0 mm up/u);
}));

test("by keyboard alone: walk, take, move, put back, undo", () => walk(async (page) => {
  for (let i = 0; i < 40; i++) {
    await page.keyboard.press("Tab");
    if (await page.evaluate(() => document.activeElement?.closest("[data-part]") !== null)) break;
  }
  const first = await page.evaluate(() => document.activeElement.getAttribute("data-part"));
  assert.ok(first, "Tab reaches a part");
  await page.keyboard.press("ArrowRight");
  const name = await page.evaluate(() => document.activeElement.getAttribute("data-part"));
  assert.notEqual(name, first, "arrows walk");
  const outline = await page.evaluate(() => getComputedStyle(document.activeElement.querySelector(".part-outline")).strokeWidth);
  assert.ok(parseFloat(outline) > 3, "where you are can be seen");
  const start = await page.evaluate(() => document.activeElement.getAttribute("aria-label"));
  const movable = !start.includes("plug to");
  if (!movable) return assert.fail("walked to a plug; the test wants a part");
  await page.keyboard.press("Enter");
  assert.equal(await page.getAttribute(`[data-part="${name}"]`, "aria-pressed"), "true");
  const x = Number(/at ([\d.]+)/u.exec(start)[1]);
  for (let i = 0; i < 3; i++) await page.keyboard.press("ArrowRight");
  await page.keyboard.press("Alt+ArrowRight");
  await stepped(page);
  const there = Number(/at ([\d.]+)/u.exec(await placeOf(page, name))[1]);
  assert.equal(Math.round((there - x) * 10), 31, "3 mm and a tenth");
  assert.match(await page.getAttribute(UNDO, "title"), /Move .* 3\.1\smm right/u);
  await page.keyboard.press("Control+z");
  await placed(page, name, start);
  await page.keyboard.press("ArrowUp");
  await page.keyboard.press("Escape");
  await placed(page, name, start);
  await page.keyboard.press("t");
  await page.waitForSelector('button[aria-pressed="true"]:has-text("Back")');
}));

test("typed places are taken, and what is no number is not", () => walk(async (page) => {
  await choose(page, "quiet-fuses");
  const field = page.locator(".in-hand input").first();
  await field.fill("365,5");
  await field.press("Enter");
  await page.waitForFunction(() => document.querySelector('[data-part="quiet-fuses"]').getAttribute("aria-label").includes("at 365.5"));
  await field.fill("a lot");
  await field.press("Enter");
  assert.equal(await field.getAttribute("aria-invalid"), "true");
  assert.ok((await placeOf(page, "quiet-fuses")).includes("at 365.5"));
}));
