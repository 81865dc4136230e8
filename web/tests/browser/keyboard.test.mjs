// With the keyboard alone, from the address to the ticked step: nothing is clicked, and where you are can always be seen.

import assert from "node:assert/strict";
import { test } from "node:test";
import { LONG, REDO, UNDO, placeOf } from "./hand.mjs";
import { filesOf, realOnly, spoilt, until, walks } from "./stand.mjs";

const walk = walks();

/** Goes on by Tab until what has the focus is as wanted; the way must not be endless. */
async function tabTo(page, wanted, words, { most = 120, key = "Tab" } = {}) {
  for (let i = 0; i < most; i++) {
    await page.keyboard.press(key);
    if (await page.evaluate(wanted)) {
      const seen = await page.evaluate(() => {
        const e = document.activeElement;
        const s = getComputedStyle(e.querySelector?.(".part-outline") ?? e);
        return parseFloat(s.outlineWidth) > 0 && s.outlineStyle !== "none" || parseFloat(s.strokeWidth) > 2 || s.boxShadow !== "none";
      });
      assert.ok(seen, `${words}: where you are can be seen`);
      return;
    }
  }
  assert.fail(`Tab does not reach ${words}`);
}
const press = async (page, ...keys) => {
  for (const k of keys) await page.keyboard.press(k);
};

test("choose a part, move it, mend a finding, undo, tick a step", realOnly, () => walk(async (page, { folder }) => {
  const original = await filesOf(folder);
  await tabTo(page, () => document.activeElement?.closest("[data-part]") !== null, "a part");
  // Plugs cannot be moved: on to a part.
  for (let i = 0; i < 8 && (await page.evaluate(() => document.activeElement.classList.contains("plug"))); i++) await press(page, "ArrowRight");
  const name = await page.evaluate(() => document.activeElement.getAttribute("data-part"));
  const start = await placeOf(page, name);
  await press(page, "Enter", "ArrowUp", "ArrowUp", "Shift+ArrowUp");
  await page.waitForSelector(`${UNDO}:not([disabled])`);
  assert.notEqual(await placeOf(page, name), start);
  await until(folder, (t) => t !== original, "the move is written");
  await press(page, "Control+z");
  await page.waitForFunction(([n, s]) => document.querySelector(`[data-part="${n}"]`).getAttribute("aria-label") === s, [name, start]);
  await until(folder, (t) => t === original, "and taken back");
  await press(page, "Control+Shift+z");
  await page.waitForSelector(`${REDO}[disabled]`);
  await press(page, "Control+z");
  await until(folder, (t) => t === original, "once more");
  await press(page, "Escape");

  // A finding with a remedy that can be done.
  await tabTo(page, () => /^Findings/u.test(document.activeElement?.textContent ?? "") && document.activeElement.closest(".pages") !== null, "the findings");
  await press(page, "Enter");
  let done = false;
  for (let i = 0; i < 8 && !done; i++) {
    await tabTo(page, () => document.activeElement?.classList.contains("finding-head"), "a finding");
    await press(page, "Enter");
    if ((await page.locator(".finding.open >> text=See what it leads to").count()) === 0) {
      await press(page, "Enter");
      continue;
    }
    await tabTo(page, () => document.activeElement?.textContent === "See what it leads to", "its remedy");
    await press(page, "Enter");
    await page.waitForSelector(".outcome .main", LONG);
    if ((await page.locator(".outcome.works").count()) === 0) {
      await tabTo(page, () => document.activeElement?.textContent === "Leave it", "leaving it", { most: 12 });
      await press(page, "Enter");
      assert.equal(await page.evaluate(() => document.activeElement.textContent), "See what it leads to", "back where you were");
      continue;
    }
    const key = await page.getAttribute(".finding.open", "data-item");
    // The focus stays at the place where the button was.
    assert.ok(await page.evaluate(() => document.activeElement !== document.body), "the focus is not lost when the answer comes");
    await tabTo(page, () => document.activeElement?.textContent === "Do it", "doing it", { most: 12 });
    await press(page, "Enter");
    await page.waitForFunction((k) => ![...document.querySelectorAll("[data-item]")].some((e) => e.getAttribute("data-item") === k), key, LONG);
    await until(folder, (t) => t !== original, "the remedy is written");
    assert.ok(await page.evaluate(() => document.activeElement !== document.body), "the focus is not lost when the finding goes");
    await press(page, "Control+z");
    await until(folder, (t) => t === original, "and taken back");
    done = true;
  }
  assert.ok(done, "one of the first findings has a remedy that works");

  await tabTo(page, () => document.activeElement?.textContent === "Make" && document.activeElement.closest(".pages") !== null, "Make", { key: "Shift+Tab" });
  await press(page, "Enter");
  await page.waitForSelector(".make select", LONG);
  await tabTo(page, () => document.activeElement?.matches(".make .tick input"), "a step's box", { most: 30 });
  await press(page, "Space");
  await page.waitForFunction(() => /^1 of/u.test(document.querySelector(".counted b").textContent));
  await tabTo(page, () => document.activeElement?.matches(".step-name-button"), "the step", { most: 3 });
  await press(page, "Enter");
  await page.waitForSelector(".step.open .step-more p");
}, {}, { prepare: spoilt }));

test("keys go where they are pressed: typing in a field moves no part", realOnly, () => walk(async (page, { folder }) => {
  const original = await filesOf(folder);
  await tabTo(page, () => document.activeElement?.closest("[data-part]:not(.plug)") !== null, "a part");
  await press(page, "Enter");
  await tabTo(page, () => document.activeElement?.matches(".in-hand input"), "its place in numbers");
  await press(page, "ArrowLeft", "ArrowRight", "r", "t", "Delete", "Escape");
  await page.waitForFunction(() => document.querySelector(".state").textContent.includes("Saved"));
  assert.equal(await filesOf(folder), original);
  assert.equal(await page.getAttribute("[aria-label='View'] button >> nth=0", "aria-pressed"), "true", "the board was not turned over");
}, {}, { prepare: spoilt }));
