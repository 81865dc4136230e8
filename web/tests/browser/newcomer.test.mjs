// A newcomer builds a small cart in the browser alone, from a robot of nothing but a name and a board: battery, fuse,
// switch, fuse block, driver, motors, every wire, a situation; makes a mistake with the fuse, and mends it.

import assert from "node:assert/strict";
import { appendFile } from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import { LONG, UNDO, drag, field, findingsOf, go, keyOf, make, onScreen, saved } from "./hand.mjs";
import { bare, checked, filesOf, realOnly, until, walks } from "./stand.mjs";

const walk = walks();
const withBoard = async (folder) => {
  await bare(folder);
  await appendFile(join(folder, "robot.toml"), '\n[board]\nsize_mm = [320, 240]\nthickness_mm = 9\nmaterial = "plywood"\ndepth_front_mm = 110\ndepth_back_mm = 20\n');
};
const close = (page) => page.click(".thing-head [aria-label=Close]");

/** Gives a key its value; those that need not be given are brought out first. */
async function give(page, key, value) {
  await page.waitForSelector(".thing .key");
  if (!(await keyOf(page, key).isVisible())) await page.click("text=/more that may be given/");
  await field(page, key, value);
}
async function add(page, kind, name) {
  await go(page, "Parts");
  await page.selectOption(".list-page select >> nth=0", kind);
  await page.fill(".list-page label:has-text('called') input", name);
  await page.click("text=Add it");
  await page.waitForSelector(`.thing-head >> text=${name}`);
}
/** Opens the part's form at the place where it says where it goes. */
async function part(page, type, name) {
  await go(page, "Parts");
  await page.click("text=Add a part");
  await page.fill(".thing input[type=search]", type);
  await page.click(`.types li:has(small:text("${type},")) button`);
  await page.fill("#new-name", name);
}
async function inZone(page, type, name, zone) {
  await part(page, type, name);
  await page.selectOption(".making label:has-text('or in a zone') select", zone);
  await page.click(`.making >> text=Put it there in ${zone}`);
  await page.waitForFunction((n) => document.querySelector("#new-name") === null || document.querySelector("#new-name").value !== n, name);
}
async function onBoard(page, type, name, x, y) {
  await part(page, type, name);
  await page.fill(".making input[inputmode=decimal] >> nth=0", String(x));
  await page.fill(".making input[inputmode=decimal] >> nth=1", String(y));
  await page.click(".making >> text=Put it there >> nth=0");
  await page.waitForSelector(`[data-part="${name}"]`);
}
/** Where a terminal is on the screen. */
const terminal = (page, end) => page.evaluate((end) => {
  const dot = [...document.querySelectorAll(".terminal")].find((t) => t.textContent === end);
  const r = dot.getBoundingClientRect();
  return { x: r.x + r.width / 2, y: r.y + r.height / 2 };
}, end);
async function wire(page, from, to, size, { clicks = false } = {}) {
  if (!(await page.isVisible("#wire-from"))) {
    await go(page, "Wires");
    await page.click("text=Draw a wire");
  }
  for (const [id, end] of [["#wire-from", from], ["#wire-to", to]]) {
    if (!clicks) {
      await page.fill(id, end);
      continue;
    }
    const at = await terminal(page, end);
    await page.mouse.click(at.x, at.y);
    await page.waitForFunction(([id, end]) => document.querySelector(id).value === end, [id, end]);
  }
  await page.selectOption("#wire-size", size);
  await page.waitForSelector(".advice >> text=cut");
  await page.click("text=Make this wire");
  await page.waitForFunction(() => !document.querySelector("#wire-from") || document.querySelector("#wire-to").value === "");
}
const worst = async (page) => (await findingsOf(page)).filter((f) => f.severity === "danger");

test("a cart is built in the browser alone, and comes out without danger", realOnly, () => walk(async (page, { folder }) => {
  await page.waitForSelector("text=Nothing is on the board yet");
  for (const [zone, path] of [["floor", "20 cm"], ["wheels", "250 mm"]]) {
    await add(page, "zone", zone);
    await give(page, "path", path);
    await until(folder, (t) => new RegExp(`name = "${zone}"\\npath_mm = (?:200|250)`, "u").test(t), `${zone} has its path`);
    await close(page);
  }
  await inZone(page, "lead-agm-12v-12ah", "battery", "floor");
  await inZone(page, "fuse-holder-blade-inline", "battery-fuse", "floor");
  await onBoard(page, "isolator-key-100a", "main-switch", 20, 140);
  await onBoard(page, "fuse-block-blade-4", "fuses", 120, 120);
  await onBoard(page, "bus-bar-m5-4", "return-bar", 30, 30);
  await onBoard(page, "dual-motor-driver-12v-24v-10a", "driver", 170, 30);
  await inZone(page, "drive-gearmotor-12v-20w", "left-wheel", "wheels");
  await inZone(page, "drive-gearmotor-12v-20w", "right-wheel", "wheels");
  await until(folder, (t) => (t.match(/\[\[part\]\]/gu) ?? []).length === 8, "eight parts");

  await wire(page, "battery.plus", "battery-fuse.in", "4 mm²");
  await wire(page, "battery-fuse.out", "main-switch.a", "6 mm²");
  // By two clicks on the board, and routed.
  await wire(page, "main-switch.b", "fuses.feed", "6 mm²", { clicks: true });
  const drawn = await until(folder, (t) => t.includes('from = "main-switch.b"\nto = "fuses.feed"\nsize_mm2 = 6'), "the clicked wire is written");
  const clicked = /name = "([^"]+)"\nfrom = "main-switch\.b"/u.exec(drawn)[1];
  await page.waitForSelector(`.wire[data-wire="${clicked}"] path, [data-wire="${clicked}"] path`);
  await wire(page, "battery.minus", "return-bar.s1", "6 mm²");
  await wire(page, "fuses.out-1", "driver.plus", "2.5 mm²");
  await wire(page, "driver.minus", "return-bar.s2", "2.5 mm²");
  for (const side of ["left", "right"]) {
    for (const end of ["a", "b"]) await wire(page, `driver.${side}-${end}`, `${side}-wheel.${end}`, "1 mm²");
  }
  await until(folder, (t) => (t.match(/\[\[wire\]\]/gu) ?? []).length === 10, "ten wires");

  // The fuses: one is too large for what it protects.
  for (const [name, key, fuse] of [["battery-fuse", "fuses.way", "blade-25a"], ["fuses", "fuses.way-1", "blade-20a"]]) {
    await go(page, "Parts");
    await page.click(`table.list button.link >> text="${name}"`);
    if (!(await page.isVisible(".thing-head"))) await page.click(".in-hand >> text=All about it");
    await give(page, key, fuse);
    await until(folder, (t) => t.includes(`"${fuse}"`), `${name} has its fuse`);
    await close(page);
  }
  await go(page, "Parts");
  await page.click("button.link >> text=The robot");
  await give(page, "motion.mass", "18 kg");
  await until(folder, (t) => /mass_kg = 18/u.test(t), "the cart has its weight");
  await close(page);
  await add(page, "situation", "rolling");
  await give(page, "closed", "main-switch");
  await give(page, "speed", "0.8 m/s");
  await until(folder, (t) => t.includes('closed = ["main-switch"]') && t.includes("speed_m_s = 0.8"), "it rolls");
  await close(page);

  // What the study says of it: one danger, with a remedy that is looked at and done.
  await go(page, "Findings");
  await page.waitForFunction(() => document.querySelectorAll(".finding.danger").length === 1, null, LONG);
  const [danger] = await worst(page);
  assert.match(danger.text, /25\sA fuse/u);
  await page.click(".finding.danger .finding-head");
  await page.click(".finding.open >> text=See what it leads to >> nth=0");
  await page.click(".outcome.works >> text=Do it");
  await page.waitForFunction(() => document.querySelectorAll(".finding.danger").length === 0, null, LONG);
  await until(folder, (t) => t.includes('"blade-20a"') && !t.includes("blade-25a"), "the smaller fuse is in");
  await saved(page);
  assert.deepEqual(await worst(page), []);

  // The workshop has its work, and the files are good for everything else.
  await make(page, "cut");
  await page.waitForFunction(() => document.querySelector(".counted b")?.textContent === "0 of 10 cut", null, LONG);
  const { status, said } = checked(folder);
  assert.ok(!/\bdanger\b/u.test(said.split("\n").filter((l) => /^\s+\d+\s/u.test(l)).join("\n")), said);
  assert.ok(status === 0 || status === 1, `status ${status}: ${said}`);
  // And all of it is steps: the last ones go back one by one.
  const whole = await filesOf(folder);
  await page.click(UNDO);
  await until(folder, (t) => t !== whole && t.includes("blade-25a"), "the remedy is taken back");
}, { robotless: true }, { prepare: withBoard }));

test("a wire is drawn by two clicks, routed, and follows its part", realOnly, () => walk(async (page, { folder }) => {
  await onBoard(page, "fuse-block-blade-4", "fuses", 120, 120);
  await onBoard(page, "bus-bar-m5-4", "bar", 30, 30);
  await close(page);
  await wire(page, "fuses.out-1", "bar.s1", "2.5 mm²", { clicks: true });
  const text = await until(folder, (t) => t.includes('from = "fuses.out-1"\nto = "bar.s1"'), "the wire is written");
  const name = /name = "([^"]+)"\nfrom = "fuses\.out-1"/u.exec(text)[1];
  const cut = async () => {
    await go(page, "Wires");
    return parseFloat(await page.textContent(`table.list tr:has-text("${name}") td >> nth=1`));
  };
  const long = await cut();
  assert.ok(long > 100, `${long} mm`);
  // It ends where its terminals are, and is cut shorter when they come nearer.
  const ends = async () => {
    const [a, b] = [await terminal(page, "fuses.out-1"), await terminal(page, "bar.s1")];
    return page.evaluate(([name, a, b]) => {
      const box = document.querySelector(`[data-wire="${name}"]`).getBoundingClientRect();
      const near = (p) => p.x > box.left - 4 && p.x < box.right + 4 && p.y > box.top - 4 && p.y < box.bottom + 4;
      return near(a) && near(b);
    }, [name, a, b]);
  };
  assert.ok(await ends());
  await page.keyboard.press("Escape");
  const from = await onScreen(page, 120, 120);
  const to = await onScreen(page, 150, 80);
  await drag(page, "fuses", to.x - from.x, to.y - from.y);
  await page.waitForFunction(([n, was]) => parseFloat([...document.querySelectorAll("table.list tr")].find((r) => r.textContent.includes(n)).querySelectorAll("td")[1].textContent) < was, [name, long]);
  await saved(page);
  assert.ok(await ends(), "its ends went along");
}, { robotless: true }, { prepare: withBoard }));
