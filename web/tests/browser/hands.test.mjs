// The board by keyboard alone and by touch, and the measure by both.

import assert from "node:assert/strict";
import { test } from "node:test";
import { UNDO, gripOf, middleOf, placeOf, placed, stepped } from "./hand.mjs";
import { walks } from "./stand.mjs";

const walk = walks();
const said = (page) => page.textContent("p.unseen[role=status]");
const focused = (page, what) => page.evaluate((w) => document.activeElement?.getAttribute(w) ?? null, what);
async function tabTo(page, attribute) {
  for (let i = 0; i < 40; i++) {
    await page.keyboard.press("Tab");
    if ((await focused(page, attribute)) !== null) return;
  }
  assert.fail(`Tab does not reach ${attribute}`);
}

test("the findings' tags are reached by Tab, walked by arrows, and read by Enter", () => walk(async (page) => {
  await tabTo(page, "data-finding");
  const number = async () => Number(await focused(page, "data-number"));
  const first = await number();
  assert.match(await focused(page, "aria-label"), /^Finding \d+, (danger|fix|look|note): .{10,}/u);
  await page.keyboard.press("ArrowRight");
  const second = await number();
  assert.ok(second > first, `${second} after ${first}`);
  await page.keyboard.press("ArrowLeft");
  assert.equal(await number(), first);
  const key = await focused(page, "data-finding");
  await page.keyboard.press("Enter");
  await page.waitForSelector(`[data-item="${key.replace(/"/gu, '\\"')}"].open`);
  assert.equal(await page.evaluate(() => document.activeElement?.getAttribute("aria-expanded")), "true", "the focus is on the finding");
}));

test("everything on the board is walked by keyboard: the next thing, an opening, a bolt; the picture moves", () => walk(async (page) => {
  await tabTo(page, "data-walk");
  const seen = new Set();
  for (let i = 0; i < 60; i++) {
    await page.keyboard.press("n");
    seen.add(await focused(page, "data-walk"));
  }
  const all = await page.evaluate(() => [...document.querySelectorAll("[data-walk]")].map((e) => e.getAttribute("data-walk")));
  assert.deepEqual([...seen].sort(), all.sort(), "N goes round everything on this face");
  const pass = all.find((k) => k.startsWith("pass:"));
  while ((await focused(page, "data-walk")) !== pass) await page.keyboard.press("n");
  await page.keyboard.press("Enter");
  assert.equal(await page.getAttribute(`[data-walk="${pass}"]`, "aria-pressed"), "true");
  assert.match(await said(page), /In hand: /u);
  await page.keyboard.press("Escape");
  // A reading aid puts the focus anywhere; the keys are for what is there.
  const bolt = all.find((k) => k.startsWith("board-mount:"));
  await page.focus(`[data-walk="${bolt}"]`);
  await page.keyboard.press("Enter");
  assert.equal(await page.getAttribute(`[data-walk="${bolt}"]`, "aria-pressed"), "true");
  await page.keyboard.press("Escape");
  const before = await middleOf(page, "main-bus");
  await page.keyboard.press("Control+ArrowRight");
  const after = await middleOf(page, "main-bus");
  assert.ok(Math.abs(before.x - after.x - 80) < 1, "the picture moves, not the part");
  assert.ok(await page.isDisabled(UNDO));
}));

test("measuring by keyboard: arrows to the features, Enter takes them", () => walk(async (page) => {
  await tabTo(page, "data-walk");
  while ((await focused(page, "data-walk")) !== "live-bus") await page.keyboard.press("n");
  await page.keyboard.press("m");
  await page.keyboard.press("Enter");
  await page.waitForSelector(".in-hand b:has-text('middle of live-bus')");
  await page.keyboard.press("ArrowDown");
  const at = (await page.textContent(".in-hand .quiet")).trim();
  assert.match(at, /^Here: .+\.$/u);
  await page.keyboard.press("Enter");
  const text = (await page.textContent(".in-hand p")).replace(/\s/gu, " ");
  assert.match(text, /^[\d.]+ mm from middle of live-bus to .+: [\d.]+ mm across, [\d.]+ mm up\.$/u);
  // It holds while the picture moves, and says the same.
  await page.keyboard.press("Control+ArrowRight");
  await page.keyboard.press("+");
  assert.equal((await page.textContent(".in-hand p")).replace(/\s/gu, " "), text);
  await page.keyboard.press("Escape");
  assert.equal(await page.$(".in-hand"), null);
}));

test("two edges are measured square to each other, and to the edge of the board", () => walk(async (page) => {
  await page.click("button:has-text('Measure')");
  const edge = (name, side, share) => page.evaluate(([n, side, share]) => {
    const r = document.querySelector(n).getBoundingClientRect();
    return { x: side === "left" ? r.left : side === "right" ? r.right : r.left + r.width * share, y: side === "bottom" ? r.bottom : r.top + r.height * share };
  }, [name, side, share]);
  const left = await edge(".sheet-face", "left", 0.45);
  await page.mouse.click(left.x, left.y);
  await page.waitForSelector(".in-hand b:has-text('left edge of the board')");
  const right = await edge('[data-part="return-bus"] .part-outline', "left", 0.5);
  await page.mouse.click(right.x, right.y);
  const text = (await page.textContent(".in-hand p")).replace(/\s/gu, " ");
  // return-bus begins at x = 150 in the files.
  assert.match(text, /^150 mm from left edge of the board to edge of return-bus: 150 mm across, 0 mm up/u);
}));

const TABLET = { viewport: { width: 1024, height: 768 }, hasTouch: true };
async function fingers(page) {
  const cdp = await page.context().newCDPSession(page);
  const touch = (type, points) => cdp.send("Input.dispatchTouchEvent", { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
  return {
    touch,
    async drag(from, by, { release = true } = {}) {
      await touch("touchStart", [[from.x, from.y]]);
      for (let i = 1; i <= 6; i++) await touch("touchMove", [[from.x + (by[0] * i) / 6, from.y + (by[1] * i) / 6]]);
      if (release) await touch("touchEnd", []);
    },
    async tap(at) {
      await touch("touchStart", [[at.x, at.y]]);
      await touch("touchEnd", []);
    },
    async rest(at, ms = 650) {
      await touch("touchStart", [[at.x, at.y]]);
      await page.waitForTimeout(ms);
      await touch("touchEnd", []);
    },
  };
}

test("a finger drags a part; a second finger puts it back and zooms", () => walk(async (page) => {
  const hand = await fingers(page);
  const was = await placeOf(page, "main-bus");
  const at = await gripOf(page, "main-bus");
  const from = await middleOf(page, "main-bus");
  await hand.drag(at, [0, -40]);
  await stepped(page);
  const there = await middleOf(page, "main-bus");
  assert.ok(Math.abs(there.x - from.x) < 8 && Math.abs(there.y - from.y + 40) < 8, "it follows the finger");
  await page.click(UNDO);
  await placed(page, "main-bus", was);
  await hand.drag(at, [0, -40], { release: false });
  await hand.touch("touchStart", [[at.x, at.y - 40], [at.x + 120, at.y - 40]]);
  await placed(page, "main-bus", was);
  await hand.touch("touchEnd", []);
  assert.ok(await page.isDisabled(UNDO), "nothing is kept");
}, TABLET));

test("two fingers move the picture and pinch it; one moves it beside parts", () => walk(async (page) => {
  const hand = await fingers(page);
  const before = await middleOf(page, "main-bus");
  await hand.touch("touchStart", [[300, 600], [420, 600]]);
  for (let i = 1; i <= 5; i++) await hand.touch("touchMove", [[300 + 10 * i, 600 - 8 * i], [420 + 10 * i, 600 - 8 * i]]);
  await hand.touch("touchEnd", []);
  const moved = await middleOf(page, "main-bus");
  assert.ok(Math.abs(moved.x - before.x - 50) < 2 && Math.abs(moved.y - before.y + 40) < 2, `${moved.x - before.x}, ${moved.y - before.y}`);
  assert.ok(Math.abs(moved.width - before.width) < 1);
  await hand.touch("touchStart", [[350, 400], [450, 400]]);
  for (let i = 1; i <= 5; i++) await hand.touch("touchMove", [[350 - 10 * i, 400], [450 + 10 * i, 400]]);
  await hand.touch("touchEnd", []);
  const near = await middleOf(page, "main-bus");
  assert.ok(Math.abs(near.width / before.width - 2) < 0.1, `${near.width / before.width}`);
}, TABLET));

test("a finger that rests chooses one more; then they are dragged together", () => walk(async (page) => {
  const hand = await fingers(page);
  await hand.tap(await gripOf(page, "live-bus"));
  assert.equal(await page.getAttribute('[data-part="live-bus"]', "aria-pressed"), "true");
  await hand.rest(await gripOf(page, "main-bus"));
  assert.equal(await page.getAttribute('[data-part="main-bus"]', "aria-pressed"), "true");
  assert.equal(await page.getAttribute('[data-part="live-bus"]', "aria-pressed"), "true", "the first stays chosen");
  await page.waitForSelector("text=2 parts");
  const from = [await middleOf(page, "live-bus"), await middleOf(page, "main-bus")];
  await hand.drag(await gripOf(page, "main-bus"), [0, 45]);
  await stepped(page);
  const to = [await middleOf(page, "live-bus"), await middleOf(page, "main-bus")];
  assert.ok(to.every((t, i) => t.y - from[i].y > 25 && Math.abs(t.y - from[i].y - (to[0].y - from[0].y)) < 1), "both move by the same");
  await hand.rest(await gripOf(page, "main-bus"));
  assert.equal(await page.getAttribute('[data-part="main-bus"]', "aria-pressed"), "false", "and lets go of it again");
}, TABLET));

test("measuring by touch", () => walk(async (page) => {
  const hand = await fingers(page);
  await page.tap("button:has-text('Measure')");
  for (const name of ["live-bus", "main-bus"]) {
    const r = await page.evaluate((n) => {
      const r = document.querySelector(`[data-part="${n}"] .part-outline`).getBoundingClientRect();
      return { x: r.left + 0.5, y: r.bottom - 0.5 };
    }, name);
    // A fingertip beside it.
    await hand.tap({ x: r.x + 3, y: r.y + 5 });
  }
  assert.match((await page.textContent(".in-hand p")).replace(/\s/gu, " "), /^150 mm from corner of live-bus to corner of main-bus: 150 mm across, 0 mm up/u);
}, TABLET));
