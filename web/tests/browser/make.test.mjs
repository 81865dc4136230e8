// The workshop's pages, the sliders, the first look round.

import assert from "node:assert/strict";
import { appendFile, readFile } from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import { readable } from "./aids.mjs";
import { LONG, go, look, make } from "./hand.mjs";
import { another, bare, realOnly, standInOnly, walks } from "./stand.mjs";

const walk = walks();

test("cuts are ticked off, counted, kept, and seen by another page", () => walk(async (page, stand) => {
  await make(page, "cut");
  const words = async (p) => (await p.textContent(".counted b")).trim();
  const [, all] = /^0 of (\d+) cut$/u.exec(await words(page));
  assert.ok(Number(all) > 20);
  await page.locator(".make .tick input").nth(0).check();
  await page.locator(".make .tick input").nth(3).check();
  assert.equal(await words(page), `2 of ${all} cut`);
  const other = await another(page);
  await make(other, "cut");
  await other.waitForFunction((w) => document.querySelector(".counted b").textContent === w, `2 of ${all} cut`);
  await other.locator(".make .tick input").nth(0).uncheck();
  await page.waitForFunction((w) => document.querySelector(".counted b").textContent === w, `1 of ${all} cut`);
  if (stand.real) {
    const kept = JSON.parse(await readFile(join(stand.folder, ".loomdeck", "ticks.json"), "utf8"));
    assert.equal(kept.ticks.length, 1);
    assert.match(kept.ticks[0].said, /^\d+(?:\.\d+)? mm$/u);
  }
  assert.deepEqual(other.wrong, []);
}));

test("a wire that was cut to another length is told, and not counted", standInOnly, () => walk(async (page, stand) => {
  const cut = stand.state.sections.make.cuts.find((c) => c.cut_mm > 0);
  stand.state.ticks = [{ list: "cut", name: cut.wire, said: `${cut.cut_mm - 25} mm` }];
  await page.reload();
  await make(page, "cut");
  assert.match(await page.textContent(".counted"), /^0 of \d+ cut; 1 since changed$/u);
  assert.match(await page.textContent(".changed"), /You cut it to/u);
  await page.click(".changed button");
  await page.waitForFunction(() => /^1 of/u.test(document.querySelector(".counted b").textContent));
  assert.equal(await page.locator(".changed").count(), 0);
}));

test("the order of work, the drill plan and the lists are there, by keyboard too", () => walk(async (page, stand) => {
  await make(page);
  const steps = await page.locator(".step").count();
  assert.ok(steps > 10);
  await page.locator(".step-name-button").nth(0).focus();
  await page.keyboard.press("Enter");
  await page.waitForSelector(".step.open .step-more p");
  await page.click("text=Go on to step 2");
  assert.equal(await page.locator(".step.open").count(), 1);
  if (stand.real) {
    // A step that brings a part onto the board has a picture.
    await page.locator(".step-name-button", { hasText: "quiet-fuses" }).first().click();
    await page.waitForSelector(".step.open .drawn path", LONG);
  }
  for (const list of ["stage", "fastener", "shopping"]) {
    await page.selectOption(".make-choice select", list);
    const count = Number(/^0 of (\d+)/u.exec(await page.textContent(".counted b"))[1]);
    assert.ok(count > 3, list);
    await page.locator(".make .tick input").first().focus();
    await page.keyboard.press("Space");
    await page.waitForFunction(() => /^1 of/u.test(document.querySelector(".counted b").textContent));
  }
  await page.selectOption(".make-choice select", "stage");
  await page.locator(".step-name-button").nth(2).click();
  await page.waitForSelector(".step.open >> text=Holes");
}));

test("the book is set while you watch, and kept as a file", realOnly, () => walk(async (page) => {
  await make(page, "papers");
  assert.match(await page.textContent(".make"), /Set for A4 paper/u);
  const coming = page.waitForEvent("download", { timeout: 120000 });
  await page.click(".paper >> nth=0 >> text=Keep as a file");
  await page.waitForSelector("text=The book is being set");
  const kept = await coming;
  assert.match(kept.suggestedFilename(), /^samovar.*-book\.pdf$/u);
  assert.equal((await readFile(await kept.path())).subarray(0, 4).toString(), "%PDF");
  await page.waitForSelector("text=/Kept, .*MB/");
}));

test("charge, speed and volume are slid, and nothing of it is kept", () => walk(async (page, stand) => {
  await go(page, "Situation");
  await page.selectOption(".situation select >> nth=0", "serving");
  const sliders = page.locator(".sliders input");
  await sliders.first().waitFor();
  // The stand-in's robot was recorded as if nothing in it made sound.
  assert.equal(await sliders.count(), stand.real ? 3 : 2);
  const first = () => page.textContent(".situation table.list tbody");
  const before = await first();
  await sliders.nth(0).focus();
  const was = await sliders.nth(0).inputValue();
  for (let i = 0; i < 30; i++) await page.keyboard.press("ArrowLeft");
  assert.equal(Number(await sliders.nth(0).inputValue()), Number(was) - 30);
  await page.waitForSelector("text=Only shown, not kept.");
  if (stand.real) await page.waitForFunction((b) => document.querySelector(".situation table.list tbody").textContent !== b, before);
  await page.click("text=As the files say");
  await page.waitForFunction((w) => document.querySelector(".sliders input").value === w, was);
  await page.waitForFunction((b) => document.querySelector(".situation table.list tbody").textContent === b, before);
  if (stand.real) {
    await sliders.nth(2).fill("100");
    await page.waitForSelector("text=half is 3 dB less");
    await page.waitForFunction((b) => document.querySelector(".situation table.list tbody").textContent !== b, before);
    await page.click("text=As the files say");
    await page.waitForFunction((b) => document.querySelector(".situation table.list tbody").textContent === b, before);
  }
  assert.ok(await page.isDisabled("button:has-text('Undo')"));
}));

test("a plot stands beside the tables", realOnly, () => walk(async (page) => {
  await go(page, "Situation");
  await page.selectOption(".situation select >> nth=0", { index: 1 });
  const plots = page.locator(".plots select");
  await plots.waitFor(LONG);
  const all = await plots.locator("option").evaluateAll((os) => os.map((o) => o.value).filter((v) => v !== ""));
  assert.ok(all.includes("currents") && all.length > 3, all.join(", "));
  for (const name of all) {
    await plots.selectOption(name);
    await page.waitForSelector(".plots .drawn", LONG);
    assert.equal(await page.locator(".plots >> text=cannot be shown").count(), 0, name);
  }
}));

test("the first look round comes once, can be left, and comes back when asked", () => walk(async (page) => {
  await page.waitForSelector(".tour >> text=1 of 5");
  for (let i = 2; i <= 5; i++) {
    await page.click(".tour .main");
    await page.waitForSelector(`.tour >> text=${i} of 5`);
    assert.ok(await page.isVisible(".tour-ring"), `step ${i} shows its place`);
  }
  await readable(page, "tour");
  await page.click(".tour .main");
  assert.equal(await page.locator(".tour").count(), 0);
  await page.reload();
  await page.waitForSelector(".part");
  assert.equal(await page.locator(".tour").count(), 0, "never again by itself");
  await page.click("[aria-label='Keys']");
  await page.click("text=Show me round");
  await page.waitForSelector(".tour >> text=1 of 5");
  await page.click("text=Leave the tour");
  assert.equal(await page.locator(".tour, .tour-ring").count(), 0);
}, { tour: true }));

test("a robot without a board is told how to begin", realOnly, () => walk(async (page, stand) => {
  await page.waitForSelector("text=This robot has no board yet");
  await make(page, "cut");
  await page.waitForSelector("text=Nothing to cut yet");
  await page.selectOption(".make-choice select", "stage");
  await page.waitForSelector("text=There is nothing to drill yet");
  await look(page, "Power");
  await page.waitForSelector("text=Nothing is wired yet");
  await look(page, "Front");
  await readable(page, "no board");
  await appendFile(join(stand.folder, "robot.toml"), '[board]\nsize_mm = [350, 300]\nthickness_mm = 9\nmaterial = "plywood"\ndepth_front_mm = 80\ndepth_back_mm = 40\n');
  await page.waitForSelector("text=Nothing is on the board yet");
  await readable(page, "no parts");
}, { robotless: true }, { prepare: bare }));

test("many ticks one after the other all stay", () => walk(async (page) => {
  await make(page, "cut");
  // What the desk tells of the first must not take the later ones away, not even for a moment.
  await page.evaluate(() => {
    window.fallen = 0;
    const boxes = [...document.querySelectorAll(".make .tick input")].slice(0, 8);
    const before = new Set();
    const look = () => {
      boxes.forEach((b, i) => {
        if (before.has(i) && !b.checked) window.fallen++;
        if (b.checked) before.add(i);
      });
      requestAnimationFrame(look);
    };
    look();
    boxes.forEach((b, i) => setTimeout(() => b.click(), i * 15));
  });
  await page.waitForFunction(() => /^8 of/u.test(document.querySelector(".counted b").textContent));
  assert.equal(await page.evaluate(() => window.fallen), 0);
  await page.reload();
  await page.waitForSelector(".part");
  await make(page, "cut");
  await page.waitForFunction(() => /^8 of/u.test(document.querySelector(".counted b").textContent));
}));
