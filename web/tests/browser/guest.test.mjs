// Who comes over the network: looks and ticks off, sees what others do, and finds no button that does nothing.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { readable } from "./aids.mjs";
import { LONG, PHONE, fits, go } from "./hand.mjs";
import { browser, desk, open, program, real, realOnly } from "./stand.mjs";

let chromium;
before(async () => { chromium = await browser(); });
after(() => chromium.close());

/** Words of buttons and fields that change the robot or what all see of it. */
const EDITING = /undo|redo|add a|add it|cut an|draw a|duplicate|remove|see what it leads|do it|line up|space evenly|turn by|to the back|to the front|what if/iu;

/** A desk with a guest's page; with the real one, the owner's page that its address was read from too. */
async function withGuest(run, options = PHONE) {
  // Any of a machine's loopback addresses stands for one in the network.
  const stand = program ? await real(undefined, "samovar-first-try", ["--lan=127.0.0.2"]) : await desk();
  let own = null;
  let url = stand.url;
  if (program) {
    own = await open(chromium, stand.url);
    await own.click("button:has-text('Phone')");
    url = await own.textContent(".phone-code .address");
  } else stand.state.guest = true;
  const page = await open(chromium, url, options);
  try {
    await run(page, own, stand);
    for (const p of [page, own]) assert.deepEqual(p?.wrong ?? [], [], "nothing fails in the page, and the browser forbids nothing");
  } finally {
    await page.context().close();
    await own?.context().close();
    await stand.close();
  }
}

/** Nothing that can be pressed or typed into changes the robot. */
async function harmless(page, where) {
  const words = await page.evaluate(() => [...document.querySelectorAll("button, input, select, summary, [role=button]")]
    .filter((e) => e.checkVisibility()).map((e) => `${e.textContent} ${e.getAttribute("aria-label") ?? ""} ${e.getAttribute("title") ?? ""}`.trim()));
  assert.deepEqual(words.filter((w) => EDITING.test(w) && !/^Finding/u.test(w)), [], where);
  await fits(page, where);
}

test("a guest on a phone looks at everything and finds nothing that changes it", () => withGuest(async (page) => {
  await page.waitForSelector("text=You look and tick off");
  await harmless(page, "board");
  await page.locator(".part:not(.plug) .part-outline").first().tap({ force: true });
  await page.waitForSelector(".in-hand");
  await harmless(page, "a chosen part");
  // The stand-in knows no keys.
  if (program) {
    await page.click(".in-hand >> text=All about it");
    await page.waitForSelector(".thing .key");
    assert.equal(await page.locator(".thing input, .thing select").count(), 0, "keys are read");
    await harmless(page, "its keys");
    await page.click(".thing [aria-label=Close]");
  }
  await go(page, "Findings");
  await page.locator(".finding-head").first().click();
  await page.waitForSelector(".finding.open .remedies");
  await harmless(page, "a finding");
  await go(page, "Situation");
  await page.selectOption("section.situation select", { index: 2 });
  await page.waitForSelector("section.situation table.list");
  assert.equal(await page.locator("input[type=range]").count(), 0, "what is slid would be seen by all");
  await harmless(page, "a situation");
  for (const list of ["Parts", "Wires"]) {
    await go(page, list);
    await page.waitForSelector("table.list");
    await harmless(page, list);
  }
}));

test("a guest cannot drag, turn or undo, and the keys do nothing", () => withGuest(async (page) => {
  const name = await page.getAttribute(".part:not(.plug)", "data-part");
  const label = () => page.getAttribute(`[data-part="${name}"]`, "aria-label");
  const was = await label();
  await page.focus(`[data-part="${name}"]`);
  for (const key of ["Enter", "ArrowRight", "r", "a", "w", "o", "Control+z"]) await page.keyboard.press(key);
  await page.waitForTimeout(900);
  assert.equal(await label(), was);
  assert.equal(await page.locator(".thing, .making").count(), 0);
}, { viewport: { width: 1024, height: 768 } }));

test("a guest ticks off, and the other page sees it", () => withGuest(async (page, own) => {
  await go(page, "Make");
  await page.waitForSelector(".make input[type=checkbox]", LONG);
  await page.locator(".make input[type=checkbox]").first().check();
  await harmless(page, "the workshop's page");
  if (own) {
    await own.keyboard.press("Escape");
    await go(own, "Make");
    await own.waitForFunction(() => document.querySelector(".make input[type=checkbox]")?.checked, null, LONG);
  }
}));

test("reading aids find nothing serious on a guest's phone", () => withGuest(async (page, own) => {
  await readable(page, "the guest's");
  if (own) await readable(own, "the code");
}));

test("the owner's page shows the code of the address", realOnly, () => withGuest(async (_, own) => {
  const code = await own.getAttribute(".phone-code svg", "aria-label");
  const address = await own.textContent(".phone-code .address");
  assert.match(address, /^http:\/\/127\.0\.0\.2:\d+\/\?key=[0-9a-f]{32}$/u);
  assert.equal(code, `Code of ${address}`);
  assert.notEqual(new URL(address).searchParams.get("key"), new URL(own.url()).searchParams.get("key"));
}));
