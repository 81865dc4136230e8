// Names are text and nothing else, whatever stands in them.

import assert from "node:assert/strict";
import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import { LONG, PHONE, UNDO, choose, drag, field, fits, go, isPhone, keyOf, look, make, placeOf, placed, stepped } from "./hand.mjs";
import { bare, filesOf, realOnly, standInOnly, walks } from "./stand.mjs";

const walk = walks();
const HOSTILE = "<img src=x onerror=\"window.hit=1\"><script>window.hit=1</script>‮}{";
test("names from the files are text and nothing else", standInOnly, () => walk(async (page) => {
  await page.waitForTimeout(200);
  assert.equal(await page.evaluate(() => window.hit), undefined);
  assert.equal(await page.locator("#desk img, #desk script").count(), 0);
  assert.ok((await page.textContent(".findings")).includes(HOSTILE));
  assert.equal(await page.textContent(".top h1"), HOSTILE);
  await page.locator(".finding-head").first().click();
  await go(page, "Parts");
  assert.ok((await page.textContent(".list-page")).includes(HOSTILE));
  await choose(page, "quiet-fuses");
  assert.ok((await page.textContent(".in-hand")).includes(HOSTILE));
  assert.equal(await page.evaluate(() => window.hit), undefined);
}, {}, { change: (study) => {
  study.robot.name = HOSTILE;
  for (const f of study.findings) f.what = f.why = f.source = f.title = HOSTILE;
  for (const f of study.findings) f.remedies.forEach((r) => { r.text = HOSTILE; });
  for (const p of study.parts) p.title = HOSTILE;
  study.parts[0].name = HOSTILE;
  for (const w of study.wires) w.colour = `red" onload="window.hit=1`;
  study.wires[0].name = HOSTILE;
  study.good_news = [HOSTILE];
  study.situations[0].name = study.situations[0].note = study.loads[0].situation = HOSTILE;
  return study;
} }));


const MARKUP = `<img src=x onerror="window.hit=1"><script>window.hit=1</script>&lt;"'\\\`}{\${1}`;
/** As long as a name may be. */
const LONG_NAME = "w".repeat(80);
const ARABIC = "مصباح-أمامي";
/** A robot of names that are hard on pages: for scripts, for markup, for layout. */
const HARD = `format = 1
[robot]
name = ${JSON.stringify(MARKUP)}
about = ${JSON.stringify(`${"w".repeat(300)} 🤖`)}
[motion]
mass_kg = 10
[[zone]]
name = "__proto__"
path_mm = 300
[board]
size_mm = [320, 240]
thickness_mm = 9
material = "plywood"
depth_front_mm = 110
depth_back_mm = 20
[[type]]
name = "valueOf"
title = ${JSON.stringify(MARKUP)}
group = "lights"
about = ${JSON.stringify(MARKUP)}
basis = ${JSON.stringify(MARKUP)}
diameter_mm = 50
height_mm = 40
mass_g = 60
fixing = { style = "loose" }
terminal = [
  { name = "toString", at_mm = [-21, 3], height_mm = 20, exit = "left", fitting = "lead-200", wire_mm2 = [0.35, 0.75], current_a = 2, role = "positive", temperature_degc = 90, ends = ["lead"] },
  { name = "__proto__", at_mm = [-21, -3], height_mm = 20, exit = "left", fitting = "lead-200", wire_mm2 = [0.35, 0.75], current_a = 2, role = "return", temperature_degc = 90, ends = ["lead"] },
]
[[type.element]]
kind = "load"
plus = "toString"
minus = "__proto__"
law = "power"
nominal_v = 12
brown_out_v = 9
damage_v = 32
activities = [{ name = "off", mean_a = 0 }, { name = "on", mean_a = 0.42 }]
usual = "on"
[[part]]
name = "battery"
type = "lead-agm-12v-12ah"
zone = "__proto__"
[[part]]
name = "__proto__"
type = "fuse-block-blade-4"
face = "front"
at_mm = [120, 120]
fuses = { way-1 = "blade-2a" }
note = ${JSON.stringify(MARKUP)}
[[part]]
name = "constructor"
type = "bus-bar-m5-4"
face = "front"
at_mm = [30, 30]
[[part]]
name = "${LONG_NAME}"
type = "bus-bar-m5-4"
face = "front"
at_mm = [200, 30]
[[part]]
name = "${ARABIC}"
type = "valueOf"
zone = "__proto__"
[[wire]]
name = "hasOwnProperty"
from = "battery.plus"
to = "__proto__.feed"
size_mm2 = 2.5
[[wire]]
name = "__proto__"
from = "__proto__.out-1"
to = "${ARABIC}.toString"
size_mm2 = 0.75
[[wire]]
name = "${LONG_NAME}"
from = "battery.minus"
to = "constructor.s1"
size_mm2 = 2.5
[[wire]]
name = "toString"
from = "${ARABIC}.__proto__"
to = "constructor.s2"
size_mm2 = 0.75
[[situation]]
name = "__proto__"
about = ${JSON.stringify(MARKUP)}
[[situation]]
name = "${LONG_NAME}"
[[situation]]
name = "${ARABIC}"
`;
const hard = async (folder) => {
  await bare(folder);
  await writeFile(join(folder, "robot.toml"), HARD);
};

for (const [words, options] of [["wide", {}], ["on a phone", PHONE]]) {
  test(`hard names in real files are text, and break no page ${words}`, realOnly, () => walk(async (page) => {
    const phone = isPhone(page);
    const check = async (where) => {
      await fits(page, where);
      assert.equal(await page.evaluate(() => window.hit), undefined, where);
      assert.equal(await page.locator("#desk img, #desk script").count(), 0, where);
    };
    assert.equal(await page.textContent(".top h1"), MARKUP);
    await check("board");
    await go(page, "Findings");
    const heads = page.locator(".finding-head");
    for (let i = 0; i < Math.min(6, await heads.count()); i++) {
      await heads.nth(i).click();
      await check(`finding ${i}`);
    }
    await go(page, "Situation");
    for (const name of ["__proto__", LONG_NAME, ARABIC]) {
      await page.selectOption(".situation select >> nth=0", name);
      await page.waitForSelector(".situation tbody tr");
      await check(`situation ${name.slice(0, 9)}`);
    }
    await page.selectOption(".situation select >> nth=0", "");
    await go(page, "Wires");
    assert.deepEqual(await page.locator("table.list button.link").allTextContents().then((all) => all.map((t) => t.trim())),
      ["hasOwnProperty", "__proto__", LONG_NAME, "toString"]);
    await check("wires");
    await go(page, "Parts");
    const names = (await page.locator("table.list button.link").allTextContents()).map((t) => t.trim());
    for (const name of ["__proto__", "constructor", LONG_NAME, ARABIC]) assert.ok(names.includes(name), name.slice(0, 20));
    assert.ok((await page.textContent("table.list")).includes(MARKUP), "a title is text");
    await check("parts");
    if (!phone) {
      // Its note is a field, and its place is changed, under names that scripts know otherwise.
      await page.click("table.list button.link >> text=__proto__");
      await page.click(".in-hand >> text=All about it");
      assert.equal(await keyOf(page, "note").inputValue(), MARKUP);
      await check("keys");
      const start = await placeOf(page, "__proto__");
      await drag(page, "__proto__", 0, 40);
      await stepped(page);
      assert.notEqual(await placeOf(page, "__proto__"), start);
      await page.click(UNDO);
      await placed(page, "__proto__", start);
      await page.click(".thing-head [aria-label=Close]");
    }
    await look(page, "Power");
    await page.waitForSelector(".diagram .in-box", LONG);
    await check("power");
    for (const list of ["step", "cut", "shopping", "papers"]) {
      await make(page, list);
      await check(list);
    }
    await page.selectOption(".make-choice select", "cut");
    const proto = page.locator(".make label, .make tr, .make li").filter({ hasText: "__proto__" });
    assert.ok((await proto.count()) > 0, "the wire is on the list to cut");
    await page.locator(".make .tick input").nth(1).check();
    await page.waitForFunction(() => /^1 of/u.test(document.querySelector(".counted b").textContent));
  }, options, { prepare: hard }));
}

test("a name that cannot be one is refused with the reason, and told as text", realOnly, () => walk(async (page, { folder }) => {
  const original = await filesOf(folder);
  await go(page, "Parts");
  await page.click("table.list button.link >> text=constructor");
  await page.click(".in-hand >> text=All about it");
  for (const name of ["<b>bold</b>", "a b", "\u202Eabc", "🤖", "w".repeat(300), "battery"]) {
    const input = await field(page, "name", name);
    await page.waitForFunction((n) => document.querySelector(".key-why")?.textContent.length > 10 && n !== null, name);
    assert.equal(await input.getAttribute("aria-invalid"), "true", name);
    assert.equal(await page.locator(".key-why b").count(), 0);
    await input.press("Escape");
    await page.waitForSelector(".key-why", { state: "detached" });
  }
  await field(page, "name", "prototype");
  await page.waitForSelector('[data-part="prototype"]');
  await page.click(UNDO);
  await page.waitForSelector('[data-part="constructor"]');
  assert.equal(await filesOf(folder), original);
  // An editor may write what no name can be: the file is shown as it cannot be read, and nothing of it runs.
  await writeFile(join(folder, "robot.toml"), HARD.replace('name = "constructor"', `name = ${JSON.stringify(MARKUP)}`));
  await page.waitForSelector(".notice.broken >> text=cannot stand in a name");
  assert.equal(await page.locator(".notices img, .notices script").count(), 0);
  assert.equal(await page.evaluate(() => window.hit), undefined);
}, {}, { prepare: hard }));
