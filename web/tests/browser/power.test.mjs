// The power diagram.

import assert from "node:assert/strict";
import { test } from "node:test";
import { go, look, power } from "./hand.mjs";
import { standInOnly, walks } from "./stand.mjs";

const walk = walks();
const boxOf = (name) => `.diagram .in-box[data-name="${name}"]`;

test("what is chosen on the diagram is chosen on the board, and the other way round", () => walk(async (page) => {
  await power(page);
  const both = await page.evaluate(() => [...document.querySelectorAll(".diagram .in-box")].map((b) => b.getAttribute("data-name")));
  assert.ok(both.includes("quiet-fuses") && both.length > 10, both.join(", "));
  await page.click(boxOf("quiet-fuses"));
  await page.waitForSelector(`${boxOf("quiet-fuses")}.chosen`);
  assert.match(await page.textContent(".in-hand"), /quiet-fuses/u);
  await page.click("text=Show on the board");
  assert.equal(await page.getAttribute('[data-part="quiet-fuses"]', "aria-pressed"), "true");
  await go(page, "Parts");
  await page.fill("input[type=search]", "main-bus");
  await page.click("table.list button.link >> nth=0");
  await power(page);
  await page.waitForSelector(`${boxOf("main-bus")}.chosen`);
  assert.equal(await page.locator(".diagram .in-box.chosen").count(), 1);
}));

test("wires are chosen by their line, and by the list", () => walk(async (page) => {
  await power(page);
  const names = await page.evaluate(() => document.querySelector(".diagram .in-label").getAttribute("data-names").split("\n"));
  await page.evaluate(() => {
    const at = document.querySelector(".diagram .in-label text").getBoundingClientRect();
    const under = document.elementFromPoint(at.x + at.width / 2, at.y + at.height / 2);
    if (!under.closest(".in-label")) throw new Error("something lies over the label");
  });
  await page.click(".diagram .in-label text >> nth=0");
  assert.ok(names.includes((await page.textContent(".in-hand b")).trim()));
  assert.ok((await page.locator(".diagram .in-line.chosen").count()) > 0);
  await page.click("[aria-label='Put down']");
  await go(page, "Wires");
  await page.fill("input[type=search]", names[0]);
  await page.click("table.list button.link >> nth=0");
  await page.waitForSelector(".diagram .in-label.chosen");
}));

test("the diagram by keyboard alone", () => walk(async (page) => {
  await power(page);
  await page.focus("[aria-label='View'] >> text=Power");
  let at = null;
  for (let i = 0; at === null && i < 60; i++) {
    await page.keyboard.press("Tab");
    at = await page.evaluate(() => document.activeElement?.closest(".diagram") && document.activeElement.getAttribute("data-name"));
    if (at === null && (await page.evaluate(() => document.activeElement === document.body))) await page.keyboard.press("Shift+Tab");
  }
  if (at === null) {
    // The drawing stands before its tools.
    await page.focus(".diagram .in-box[tabindex='0']");
    at = await page.evaluate(() => document.activeElement.getAttribute("data-name"));
  }
  assert.ok(at);
  await page.keyboard.press("ArrowRight");
  const next = await page.evaluate(() => document.activeElement.getAttribute("data-name"));
  assert.ok(next && next !== at, "arrows walk");
  await page.keyboard.press("Enter");
  assert.equal(await page.getAttribute(boxOf(next), "aria-pressed"), "true");
  await page.keyboard.press("Escape");
  assert.equal(await page.getAttribute(boxOf(next), "aria-pressed"), "false");
  await page.keyboard.press("t");
  await page.waitForSelector(".drawing");
}));

test("the diagram pans, zooms and wears the reader's colours", () => walk(async (page) => {
  await power(page);
  const box = () => page.evaluate((s) => { const r = document.querySelector(s).getBoundingClientRect(); return { x: r.x, y: r.y, w: r.width }; }, boxOf("quiet-fuses"));
  await page.click("button:has-text('Fit')");
  const start = await box();
  await page.click("[aria-label='Nearer']");
  assert.ok((await box()).w > start.w * 1.2);
  await page.click("button:has-text('Fit')");
  assert.ok(Math.abs((await box()).w - start.w) < 0.5);
  await page.mouse.move(300, 700);
  await page.mouse.down();
  await page.mouse.move(340, 660, { steps: 4 });
  await page.mouse.up();
  const moved = await box();
  assert.ok(Math.abs(moved.x - start.x - 40) < 2 && Math.abs(moved.y - start.y + 40) < 2, JSON.stringify([start, moved]));
  const fill = () => page.evaluate((s) => document.querySelector(`${s} > rect`).getAttribute("fill"), boxOf("quiet-fuses"));
  const paper = await fill();
  await page.selectOption(".theme select", "slate");
  await page.waitForFunction(([s, f]) => document.querySelector(`${s} > rect`)?.getAttribute("fill") !== f, [boxOf("quiet-fuses"), paper]);
}));

test("a drawing with anything foreign in it is not drawn", standInOnly, async () => {
  const ways = ["<script>window.hit=1</script>", "<image href='x' onerror='window.hit=1'/>", "<g onclick='window.hit=1'/>", "<foreignObject/>",
    "<rect style='fill:red'/>", "<use href='#x'/>", "<!-- words -->", "<a href='javascript:window.hit=1'/>", "<h:p xmlns:h='http://www.w3.org/1999/xhtml'/>"];
  for (const way of ways) {
    await walk(async (page) => {
      await look(page, "Power");
      await page.waitForSelector(".power-none");
      assert.equal(await page.locator(".diagram > g > *").count(), 0, way);
      assert.equal(await page.evaluate(() => window.hit), undefined, way);
      // That the browser forbids the style even where it is only read is as well.
      if (way.includes("style=")) page.wrong = page.wrong.filter((m) => !m.startsWith("Applying inline style"));
    }, {}, { change: (study) => {
      for (const t of ["paper", "slate"]) study.diagram[t] = study.diagram[t].replace("</svg>", `${way}</svg>`);
      return study;
    } });
  }
});
