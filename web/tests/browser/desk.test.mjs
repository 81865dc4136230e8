// The desk around the board: findings and remedies, two pages, a line that goes, phones.

import assert from "node:assert/strict";
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import { PHONE, UNDO, drag, go, placeOf, placed, stepped } from "./hand.mjs";
import { another, realOnly, standInOnly, walks } from "./stand.mjs";

const walk = walks();

test("a remedy is looked at, done, and taken back", () => walk(async (page) => {
  let key = null;
  for (let i = 0; key === null && i < 12; i++) {
    await page.locator(".finding-head").nth(i).click();
    const offered = page.locator(".finding.open >> text=See what it leads to");
    if ((await offered.count()) > 0) {
      await offered.first().click();
      await page.waitForSelector(".outcome .main", { timeout: 120000 });
      if ((await page.locator(".outcome.works").count()) > 0) key = await page.locator(".finding.open").getAttribute("data-item");
    }
    if (key === null) await page.locator(".finding-head").nth(i).click();
  }
  assert.ok(key, "one of the worst findings has a remedy that works");
  assert.ok((await page.locator(".lines").count()) > 0, "the lines that change are shown");
  assert.ok(await page.isDisabled(UNDO), "looking changes nothing");
  await page.click(".outcome button.main");
  await stepped(page);
  await page.waitForFunction((k) => ![...document.querySelectorAll("[data-item]")].some((e) => e.getAttribute("data-item") === k), key);
  await page.click(UNDO);
  await page.waitForFunction((k) => [...document.querySelectorAll("[data-item]")].some((e) => e.getAttribute("data-item") === k), key);
}));

test("tags on the board carry the numbers of the list", () => walk(async (page) => {
  const pairs = await page.evaluate(() => [...document.querySelectorAll(".tag[data-finding]")].map((t) => {
    const key = t.getAttribute("data-finding");
    const item = [...document.querySelectorAll("[data-item]")].find((e) => e.getAttribute("data-item") === key);
    return [t.querySelector(".tag-number").textContent, item?.querySelector(".tag-number").textContent];
  }));
  assert.ok(pairs.length > 3);
  for (const [tag, item] of pairs) assert.equal(tag, item);
  const number = await page.evaluate(() => {
    document.querySelector(".tag[data-finding]").dispatchEvent(new MouseEvent("click", { bubbles: true }));
    return document.querySelector(".tag[data-finding] .tag-number").textContent;
  });
  await page.waitForSelector(".finding.open");
  assert.equal(await page.textContent(".finding.open .tag-number"), number);
}));

test("findings are worst first within what they are about", () => walk(async (page) => {
  const order = ["danger", "fix", "look", "note"];
  const groups = await page.evaluate(() => [...document.querySelectorAll(".group")].map((g) =>
    [...g.querySelectorAll(".finding")].map((f) => [...f.classList].find((c) => ["danger", "fix", "look", "note"].includes(c)))));
  const ranks = groups.map((g) => g.map((s) => order.indexOf(s)));
  for (const g of ranks) assert.deepEqual(g, [...g].sort((a, b) => a - b));
  const firsts = ranks.map((g) => g[0]);
  assert.deepEqual(firsts, [...firsts].sort((a, b) => a - b));
}));

test("two pages show the same", () => walk(async (page) => {
  const other = await another(page);
  const start = await placeOf(other, "quiet-fuses");
  await drag(page, "quiet-fuses", -50, 60);
  await stepped(page);
  const there = await placeOf(page, "quiet-fuses");
  assert.notEqual(there, start);
  await placed(other, "quiet-fuses", there);
  await other.click(UNDO);
  await placed(page, "quiet-fuses", start);
  await placed(other, "quiet-fuses", start);
  assert.deepEqual(other.wrong, []);
}));

test("a part in hand survives a line that goes", (t) => walk(async (page, stand) => {
  if (!stand.cut) return t.skip("a line to a desk with its own pages cannot be cut from here");
  const start = await placeOf(page, "quiet-fuses");
  await drag(page, "quiet-fuses", -60, 60, { release: false });
  stand.cut();
  await page.waitForSelector("text=No line to the desk");
  await page.mouse.up();
  const dropped = await placeOf(page, "quiet-fuses");
  assert.notEqual(dropped, start);
  await page.waitForSelector(".state >> text=Saved");
  await stepped(page);
  assert.equal(await placeOf(page, "quiet-fuses"), dropped);
  await page.click(UNDO);
  await placed(page, "quiet-fuses", start);
  await page.waitForSelector(`${UNDO}[disabled]`);
}));

test("what the desk refuses goes back, and says why", standInOnly, () => walk(async (page, stand) => {
  const start = await placeOf(page, "quiet-fuses");
  stand.state.refuse = "board.toml cannot be written: the disk is full.";
  await drag(page, "quiet-fuses", -50, 60);
  await page.waitForSelector("text=the disk is full");
  await placed(page, "quiet-fuses", start);
}));

test("a phone: nothing is wider than it, and things can be looked up", () => walk(async (page) => {
  const wide = () => page.evaluate(() => document.documentElement.scrollWidth);
  assert.ok((await wide()) <= 360);
  for (const name of ["Findings", "Situation", "Parts", "Wires"]) {
    await page.click(`.phone-bar >> text=${name}`);
    assert.ok((await wide()) <= 360, name);
    const over = await page.evaluate(() => [...document.querySelectorAll(".page *")].filter((e) => e.getBoundingClientRect().right > 361).length);
    assert.equal(over, 0, `${name}: nothing runs out at the right`);
  }
  await page.fill("input[type=search]", "left");
  const rows = await page.locator("table.list tbody tr").count();
  assert.ok(rows > 0 && rows < 40);
  await page.click("table.list button.link >> nth=0");
  await page.waitForSelector(".drawing >> visible=true");
  assert.ok(await page.isVisible(".in-hand"));
}, PHONE));

test("a situation: tables, values on the wires, and back to none", () => walk(async (page) => {
  await go(page, "Situation");
  await page.selectOption(".situation select >> nth=0", { index: 1 });
  await page.waitForSelector(".situation tbody tr");
  assert.ok((await page.locator(".situation tbody tr").count()) > 5);
  assert.ok((await page.locator(".wire.heat").count()) > 5);
  const size = await page.evaluate(() => document.querySelectorAll(".value-text").length);
  assert.ok(size > 0, "values stand at the wires");
  for (const table of ["terminals", "parts"]) {
    await page.selectOption(".situation select >> nth=2", table);
    assert.ok((await page.locator(".situation tbody tr").count()) > 3, table);
  }
  await page.selectOption(".situation select >> nth=0", "");
  assert.equal(await page.locator(".wire.heat").count(), 0);
}));

test("units and colours are the reader's choice", () => walk(async (page) => {
  await page.click("button:has-text('inch')");
  assert.match(await placeOf(page, "live-bus"), /at 1\.97\sin/u);
  await page.selectOption(".theme select", "slate");
  assert.equal(await page.evaluate(() => document.documentElement.dataset.theme), "slate");
  await page.reload();
  await page.waitForSelector(".part");
  assert.equal(await page.evaluate(() => document.documentElement.dataset.theme), "slate");
}));

test("what changes outside shows, and what cannot be read is told with its place", realOnly, () => walk(async (page, stand) => {
  const file = join(stand.folder, "board.toml");
  const text = await readFile(file, "utf8");
  const start = await placeOf(page, "quiet-fuses");
  await writeFile(file, text.replace("at_mm = [370, 290]", "at_mm = [360, 290]"));
  await page.waitForFunction(() => document.querySelector('[data-part="quiet-fuses"]').getAttribute("aria-label").includes("at 360"));
  await writeFile(file, text.replace("thickness_mm", "thicknes_mm"));
  await page.waitForSelector(".notice.broken >> text=board.toml, line");
  assert.ok(await page.isVisible('[data-part="quiet-fuses"]'), "the last good state stays");
  await writeFile(file, text);
  await page.waitForSelector(".notice.broken", { state: "detached" });
  await placed(page, "quiet-fuses", start);
}));

test("empty places say how to begin", standInOnly, () => walk(async (page) => {
  await go(page, "Situation");
  await page.waitForSelector("text=gets into no situation yet");
  await go(page, "Wires");
  await page.waitForSelector("text=No wires yet");
}, {}, { change: (study) => ({ ...study, situations: [], wires: [], findings: [] }) }));
