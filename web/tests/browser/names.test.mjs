// Names are text and nothing else, whatever stands in them.

import assert from "node:assert/strict";
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import { choose, go } from "./hand.mjs";
import { realOnly, standInOnly, walks } from "./stand.mjs";

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
  study.situations[0].name = study.situations[0].note = HOSTILE;
  return study;
} }));

