// In the workshop with a phone of 360 by 640: a finding, the fuse of a wire, a step of the work.

import assert from "node:assert/strict";
import { test } from "node:test";
import { LONG, PHONE, fits, go, look, make } from "./hand.mjs";
import { realOnly, walks } from "./stand.mjs";

const walk = walks();
/** What a thumb can hit, dots of the screen. */
const THUMB = 24;
async function thumbs(page, where) {
  const small = await page.evaluate((least) => [...document.querySelectorAll("button, select, input, a, summary")]
    .filter((e) => e.checkVisibility() && e.getBoundingClientRect().width > 0 && !e.closest("p, li p, .unseen"))
    // A box is hit with all of its label.
    .map((e) => [e.textContent.trim().slice(0, 30) || e.getAttribute("aria-label") || e.type, (e.closest("label") ?? e).getBoundingClientRect()])
    .filter(([, r]) => r.height < least || r.width < least).map(([t, r]) => `${t}: ${Math.round(r.width)} × ${Math.round(r.height)}`), THUMB);
  assert.deepEqual(small, [], `${where}: large enough for a thumb`);
}

test("a finding is looked up, and its place shown on the board", realOnly, () => walk(async (page) => {
  await go(page, "Findings");
  await fits(page, "findings");
  await thumbs(page, "findings");
  const head = page.locator(".finding-head").first();
  await head.tap();
  await page.waitForSelector(".finding.open .finding-more");
  await fits(page, "an open finding");
  await page.locator(".finding.open >> text=Show the place").tap();
  await page.waitForSelector(".drawing >> visible=true");
  const tag = await page.evaluate(() => {
    const r = document.querySelector(".tag[data-finding]").getBoundingClientRect();
    return { x: r.x, y: r.y };
  });
  assert.ok(tag.x >= 0 && tag.x < 360 && tag.y < 640);
  await fits(page, "the place");
}, PHONE));

test("the fuse of a wire is looked up on the way to it", realOnly, () => walk(async (page) => {
  await go(page, "Wires");
  await page.fill("input[type=search]", "lamp");
  const row = page.locator("table.list tbody tr").first();
  const name = (await row.locator("button.link").textContent()).trim();
  await fits(page, "wires");
  await row.locator("button.link").tap();
  await page.waitForSelector(`.in-hand >> text=${name}`);
  await fits(page, "a chosen wire");
  await thumbs(page, "a chosen wire");
  // The power diagram has the fuse before it, with its size.
  await look(page, "Power");
  await page.waitForSelector(".diagram .in-label.chosen, .diagram .in-line.chosen", LONG);
  const fuses = await page.evaluate(() => [...document.querySelectorAll(".diagram .in-box")].map((b) => b.textContent).filter((t) => /\d\sA$/u.test(t.trim())));
  assert.ok(fuses.length > 0, "fuses show their size");
  await fits(page, "power");
}, PHONE, { robot: "cart" }));

test("a step of the work is read, and ticked off", realOnly, () => walk(async (page) => {
  await make(page);
  await page.locator(".step-name-button").nth(2).tap();
  await page.waitForSelector(".step.open .step-more p");
  await page.waitForSelector(".step.open .drawn", LONG);
  await fits(page, "a step");
  await thumbs(page, "a step");
  await page.locator(".step.open .tick input").tap();
  await page.waitForFunction(() => /^1 of/u.test(document.querySelector(".counted b").textContent));
  const picture = await page.evaluate(() => document.querySelector(".step.open .drawn").getBoundingClientRect().width);
  assert.ok(picture > 200 && picture <= 360, `${picture} wide`);
  for (const list of ["stage", "cut", "fastener", "shopping", "papers"]) {
    await page.selectOption(".make-choice select", list);
    await fits(page, list);
  }
}, PHONE, { robot: "cart" }));
