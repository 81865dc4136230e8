// The power diagram, the workshop's page, the sliders, the first look round.

import assert from "node:assert/strict";
import { createRequire } from "node:module";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { browser, desk, open, program, real } from "./stand.mjs";

const axeSource = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
let chromium;
before(async () => { chromium = await browser(); });
after(() => chromium.close());

async function withDesk(run, options, change) {
  const stand = await desk(change);
  const page = await open(chromium, stand.url, options);
  try {
    await run(page, stand);
    assert.deepEqual(page.wrong, [], "nothing fails in the page, and the browser forbids nothing");
  } finally {
    await page.context().close();
    await stand.close();
  }
}
const PHONE = { viewport: { width: 360, height: 640 }, hasTouch: true };
const LONG = { timeout: 60000 };
const power = async (page) => {
  await page.click("[aria-label='View'] >> text=Power");
  await page.waitForSelector(".diagram .in-box", LONG);
  await page.click("button:has-text('Fit')");
};
const make = async (page, bar = "nav.pages") => {
  await page.click(`${bar} >> text=Make`);
  await page.waitForSelector(".make select", LONG);
};
const boxOf = (name) => `.diagram .in-box[data-name="${name}"]`;

async function serious(page, where) {
  // The desk forbids scripts from elsewhere; the checker comes in through the debugger instead.
  await page.evaluate(axeSource);
  const found = await page.evaluate(() => globalThis.axe.run(document));
  assert.ok(found.passes.length > 10, "the checker ran");
  const bad = found.violations.filter((v) => ["serious", "critical"].includes(v.impact));
  assert.deepEqual(bad.map((v) => `${where}: ${v.id}: ${v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)).join(" | ")}`), []);
}

test("what is chosen on the diagram is chosen on the board, and the other way round", () => withDesk(async (page) => {
  await power(page);
  const both = await page.evaluate(() => [...document.querySelectorAll(".diagram .in-box")].map((b) => b.getAttribute("data-name")));
  assert.ok(both.includes("quiet-fuses") && both.length > 10, both.join(", "));
  await page.click(boxOf("quiet-fuses"));
  await page.waitForSelector(`${boxOf("quiet-fuses")}.chosen`);
  assert.match(await page.textContent(".in-hand"), /quiet-fuses/u);
  await page.click("text=Show on the board");
  assert.equal(await page.getAttribute('[data-part="quiet-fuses"]', "aria-pressed"), "true");
  await page.click("nav.pages >> text=Parts");
  await page.fill("input[type=search]", "main-bus");
  await page.click("table.list button.link >> nth=0");
  await power(page);
  await page.waitForSelector(`${boxOf("main-bus")}.chosen`);
  assert.equal(await page.locator(".diagram .in-box.chosen").count(), 1);
}));

test("wires are chosen by their line, and by the list", () => withDesk(async (page) => {
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
  await page.click("nav.pages >> text=Wires");
  await page.fill("input[type=search]", names[0]);
  await page.click("table.list button.link >> nth=0");
  await page.waitForSelector(".diagram .in-label.chosen");
}));

test("the diagram by keyboard alone", () => withDesk(async (page) => {
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

test("the diagram pans, zooms and wears the reader's colours", () => withDesk(async (page) => {
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

test("a drawing with anything foreign in it is not drawn", { skip: program !== null }, async () => {
  const ways = ["<script>window.hit=1</script>", "<image href='x' onerror='window.hit=1'/>", "<g onclick='window.hit=1'/>", "<foreignObject/>",
    "<rect style='fill:red'/>", "<use href='#x'/>", "<!-- words -->", "<a href='javascript:window.hit=1'/>", "<h:p xmlns:h='http://www.w3.org/1999/xhtml'/>"];
  for (const way of ways) {
    await withDesk(async (page) => {
      await page.click("[aria-label='View'] >> text=Power");
      await page.waitForSelector(".power-none");
      assert.equal(await page.locator(".diagram > g > *").count(), 0, way);
      assert.equal(await page.evaluate(() => window.hit), undefined, way);
      // That the browser forbids the style even where it is only read is as well.
      if (way.includes("style=")) page.wrong = page.wrong.filter((m) => !m.startsWith("Applying inline style"));
    }, {}, (study) => {
      for (const t of ["paper", "slate"]) study.diagram[t] = study.diagram[t].replace("</svg>", `${way}</svg>`);
      return study;
    });
  }
});

test("cuts are ticked off, counted, kept, and seen by another page", () => withDesk(async (page, stand) => {
  await make(page);
  await page.selectOption(".make-choice select", "cut");
  const words = async (p) => (await p.textContent(".counted b")).trim();
  const [, all] = /^0 of (\d+) cut$/u.exec(await words(page));
  assert.ok(Number(all) > 20);
  await page.locator(".make .tick input").nth(0).check();
  await page.locator(".make .tick input").nth(3).check();
  assert.equal(await words(page), `2 of ${all} cut`);
  const other = await (async () => {
    if (!stand.keyed) return open(chromium, stand.url);
    const second = await page.context().newPage();
    second.wrong = [];
    await second.goto(new URL("/", stand.url).href);
    await second.waitForSelector(".part");
    return second;
  })();
  await make(other);
  await other.selectOption(".make-choice select", "cut");
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

test("a wire that was cut to another length is told, and not counted", { skip: program !== null }, async () => {
  const stand = await desk();
  const cut = stand.state.sections.make.cuts.find((c) => c.cut_mm > 0);
  stand.state.ticks = [{ list: "cut", name: cut.wire, said: `${cut.cut_mm - 25} mm` }];
  const page = await open(chromium, stand.url);
  try {
    await make(page);
    await page.selectOption(".make-choice select", "cut");
    assert.match(await page.textContent(".counted"), /^0 of \d+ cut; 1 since changed$/u);
    assert.match(await page.textContent(".changed"), /You cut it to/u);
    await page.click(".changed button");
    await page.waitForFunction(() => /^1 of/u.test(document.querySelector(".counted b").textContent));
    assert.equal(await page.locator(".changed").count(), 0);
  } finally {
    await page.context().close();
    await stand.close();
  }
});

test("the order of work, the drill plan and the lists are there, by keyboard too", () => withDesk(async (page, stand) => {
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

test("the book is set while you watch, and kept as a file", { skip: program === null }, () => withDesk(async (page) => {
  await make(page);
  await page.selectOption(".make-choice select", "papers");
  assert.match(await page.textContent(".make"), /Set for A4 paper/u);
  const coming = page.waitForEvent("download", { timeout: 120000 });
  await page.click(".paper >> nth=0 >> text=Keep as a file");
  await page.waitForSelector("text=The book is being set");
  const kept = await coming;
  assert.match(kept.suggestedFilename(), /^samovar.*-book\.pdf$/u);
  assert.equal((await readFile(await kept.path())).subarray(0, 4).toString(), "%PDF");
  await page.waitForSelector("text=/Kept, .*MB/");
}));

test("charge and speed are slid, and nothing of it is kept", () => withDesk(async (page, stand) => {
  await page.click("nav.pages >> text=Situation");
  await page.selectOption(".situation select >> nth=0", "serving");
  const sliders = page.locator(".sliders input");
  assert.equal(await sliders.count(), 2);
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
  assert.ok(await page.isDisabled("button:has-text('Undo')"));
}));

test("a plot stands beside the tables", { skip: program === null }, () => withDesk(async (page) => {
  await page.click("nav.pages >> text=Situation");
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

test("the first look round comes once, can be left, and comes back when asked", async () => {
  const stand = await desk();
  const page = await open(chromium, stand.url, { tour: true });
  try {
    await page.waitForSelector(".tour >> text=1 of 5");
    for (let i = 2; i <= 5; i++) {
      await page.click(".tour .main");
      await page.waitForSelector(`.tour >> text=${i} of 5`);
      assert.ok(await page.isVisible(".tour-ring"), `step ${i} shows its place`);
    }
    await serious(page, "tour");
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
    assert.deepEqual(page.wrong, []);
  } finally {
    await page.context().close();
    await stand.close();
  }
});

for (const [words, options] of [["paper", { colorScheme: "light" }], ["slate", { colorScheme: "dark" }], ["a phone", PHONE]]) {
  test(`reading aids find nothing serious in diagram and workshop on ${words}`, () => withDesk(async (page) => {
    const phone = options === PHONE;
    await power(page);
    if (!phone) await page.click(boxOf("quiet-fuses"));
    await serious(page, "power");
    await make(page, phone ? ".phone-bar" : "nav.pages");
    await page.locator(".step-name-button").nth(4).click();
    for (const sheet of ["step", "stage", "cut", "fastener", "shopping", "papers"]) {
      await page.selectOption(".make-choice select", sheet);
      await serious(page, sheet);
      if (!phone) continue;
      assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 360, sheet);
      const over = await page.evaluate(() => [...document.querySelectorAll(".page *")].filter((e) => !e.closest(".drawn, .unseen, pre") && e.getBoundingClientRect().right > 361).length);
      assert.equal(over, 0, `${sheet}: nothing runs out at the right`);
    }
  }, options));
}

test("a robot without a board is told how to begin", { skip: program === null }, async () => {
  const stand = await real(async (folder) => {
    const { writeFile, rm } = await import("node:fs/promises");
    for (const name of ["board.toml", "wiring.toml"]) await rm(join(folder, name), { force: true });
    await writeFile(join(folder, "robot.toml"), 'format = 1\n[robot]\nname = "New one"\n');
  });
  const page = await open(chromium, stand.url, { robotless: true });
  try {
    await page.waitForSelector("text=This robot has no board yet");
    await page.click("nav.pages >> text=Make");
    await page.waitForSelector(".make select", LONG);
    await page.selectOption(".make-choice select", "cut");
    await page.waitForSelector("text=Nothing to cut yet");
    await page.selectOption(".make-choice select", "stage");
    await page.waitForSelector("text=There is nothing to drill yet");
    await page.click("[aria-label='View'] >> text=Power");
    await page.waitForSelector("text=Nothing is wired yet");
    await page.click("[aria-label='View'] >> text=Front");
    await serious(page, "no board");
    const { appendFile } = await import("node:fs/promises");
    await appendFile(join(stand.folder, "robot.toml"), '[board]\nsize_mm = [350, 300]\nthickness_mm = 9\nmaterial = "plywood"\ndepth_front_mm = 80\ndepth_back_mm = 40\n');
    await page.waitForSelector("text=Nothing is on the board yet");
    await serious(page, "no parts");
    assert.deepEqual(page.wrong, []);
  } finally {
    await page.context().close();
    await stand.close();
  }
});
