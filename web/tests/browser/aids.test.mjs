// Every page as a reading aid finds it, on paper, on slate and on a phone; and that nothing runs out of it.

import assert from "node:assert/strict";
import { test } from "node:test";
import { readable } from "./aids.mjs";
import { LONG, PHONE, choose, fits, go, isPhone, make, power } from "./hand.mjs";
import { fresh, realOnly, walks } from "./stand.mjs";

const walk = walks();
const WAYS = [["paper", { colorScheme: "light" }], ["slate", { colorScheme: "dark" }], ["a phone", PHONE]];
const check = async (page, where) => {
  await fits(page, where);
  await readable(page, where);
};

for (const [words, options] of WAYS) {
  test(`findings, situations and lists can be read on ${words}`, () => walk(async (page) => {
    await check(page, "board");
    await go(page, "Findings");
    await page.locator(".finding-head").first().click();
    await page.locator(".finding.open >> text=See what it leads to").first().click();
    await page.waitForSelector(".outcome .main", LONG);
    await check(page, "finding");
    await go(page, "Situation");
    await page.selectOption(".situation select >> nth=0", { index: 1 });
    await page.waitForSelector(".situation tbody tr");
    await check(page, "situation");
    await go(page, "Parts");
    await check(page, "parts");
    await go(page, "Wires");
    await check(page, "wires");
    if (isPhone(page)) return;
    await page.click("button:has-text('Show')");
    await choose(page, "live-bus");
    await check(page, "chosen");
    await page.click("[aria-label='Keys']");
    await check(page, "keys");
  }, options));

  test(`diagram and workshop can be read on ${words}`, () => walk(async (page) => {
    await power(page);
    if (!isPhone(page)) await page.click('.diagram .in-box[data-name="quiet-fuses"]');
    await check(page, "power");
    await make(page);
    await page.locator(".step-name-button").nth(4).click();
    for (const list of ["step", "stage", "cut", "fastener", "shopping", "papers"]) {
      await page.selectOption(".make-choice select", list);
      await check(page, list);
    }
  }, options));

  test(`what is made can be read on ${words}`, realOnly, () => walk((page) => making(page, check), options, { prepare: fresh }));
}

test("what is made fits where the column is narrow", realOnly, () =>
  walk((page) => making(page, fits), { viewport: { width: 1024, height: 768 } }, { prepare: fresh }));

/** The forms in which a robot is made, one after the other. */
async function making(page, check) {
  const phone = isPhone(page);
  await go(page, "Parts");
  await check(page, "empty bench");
  await page.click("text=Add a part");
  await page.waitForSelector(".types li");
  await check(page, "library");
  await page.fill(".thing input[type=search]", "fuse block");
  await page.click(".types button >> nth=0");
  await check(page, "where");
  if (phone) {
    await page.click(".making >> text=to the board");
    await page.waitForSelector(".in-hand >> text=Click where");
    await check(page, "placing");
    await page.tap(".drawing");
    await page.waitForSelector('[data-part^="fuse-block"]');
    await go(page, "Parts");
  } else await page.click(".thing-head [aria-label=Close]");
  await go(page, "Wires");
  await page.click("text=Draw a wire");
  await page.fill("#wire-from", "battery.plus");
  await page.fill("#wire-to", "main-switch.a");
  await page.waitForSelector(".advice >> text=cut");
  await check(page, "wire");
  await page.click(".thing-head [aria-label=Close]");
  await go(page, "Parts");
  await page.click("button.link >> text=The robot");
  await page.waitForSelector(".key");
  await check(page, "robot");
  await page.click("text=/more that may be given/");
  await page.click(".why-key >> nth=1");
  await check(page, "keys of the robot");
  await go(page, "Parts");
  if (phone) await go(page, "Parts");
  await page.click("text=Cut an opening");
  await check(page, "opening");
  await page.click(".thing-head [aria-label=Close]");
  await go(page, "Parts");
  await page.click(".list button.link >> text=main-switch");
  await page.waitForSelector(".in-hand >> visible=true");
  await check(page, "chosen");
}

test("the checker finds what is wrong", () => walk(async (page) => {
  // It would be no comfort if it found nothing anywhere.
  await page.evaluate(() => {
    document.querySelector(".top h1").style.color = "#cfcfcf";
    document.querySelector(".tools button").textContent = "";
  });
  await assert.rejects(readable(page, "spoilt"), (e) => /color-contrast/u.test(e.message) && /button-name/u.test(e.message));
}, { colorScheme: "light" }));
