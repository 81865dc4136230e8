// What reading aids would stumble over on a page, by a checker that knows the published rules.

import assert from "node:assert/strict";
import { createRequire } from "node:module";
import { readFile } from "node:fs/promises";

const source = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** Nothing serious or critical is found in what is shown. */
export async function readable(page, where) {
  // The desk forbids scripts from elsewhere; the checker comes in through the debugger instead.
  if (!(await page.evaluate(() => "axe" in globalThis))) await page.evaluate(source);
  const found = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ["violations"] }));
  assert.ok(found.passes.length > 10, `${where}: the checker ran`);
  const serious = found.violations.filter((v) => ["serious", "critical"].includes(v.impact));
  assert.deepEqual(serious.map((v) => `${where}: ${v.id}: ${v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)).join(" | ")}`), []);
}
