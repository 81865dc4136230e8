// A part type made in the page: from numbers, from a drawing, from a photo; and the forms beside it.

import assert from "node:assert/strict";
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { readable } from "./aids.mjs";
import { PHONE, UNDO, REDO, choose, field, fits, go, keyOf, saved } from "./hand.mjs";
import { bare, filesOf, realOnly, until, walks } from "./stand.mjs";

const walk = walks();
const CART = { robot: "cart" };
const own = (folder, name) => readFile(join(folder, "parts", `${name}.toml`), "utf8").catch(() => null);
const type = (page, path, text) => page.fill(`[data-field="${path}"]`, text);
const whole = (page) => page.waitForSelector(".make-type .advice >> text=It is whole");

async function makeType(page) {
  await go(page, "Parts");
  await page.click(".doings >> text=Make a part type");
  await page.waitForSelector("#type-kind option >> nth=5", { state: "attached" });
}
/** Waits until a file of the robot's own types is as wanted. */
async function untilOwn(folder, name, wanted, words) {
  for (let i = 0; i < 200; i++) {
    if (wanted(await own(folder, name))) return;
    await new Promise((done) => setTimeout(done, 50));
  }
  assert.fail(`${words}\n${await own(folder, name)}`);
}

test("a type is made from measurements, placed, taken back and done again", realOnly, () => walk(async (page, { folder }) => {
  await makeType(page);
  assert.match(await page.textContent(".type-sheet"), /grows as you type/u);
  await page.selectOption("#type-kind", "light");
  await type(page, "name", "../lamp");
  await page.waitForSelector(".key-why >> text=cannot stand in a name");
  await type(page, "name", "fuses-x");
  await type(page, "title", "a <b>lamp</b><img src=x onerror=alert(1)>");
  await type(page, "width", "0");
  await page.waitForSelector(".key-why >> text=a length from 0.1");
  await type(page, "width", "6 cm");
  await type(page, "depth", "40");
  await page.waitForFunction(() => /60 by 40 mm/u.test(document.querySelector(".type-sheet svg").getAttribute("aria-label")));
  const ratio = await page.evaluate(() => {
    const r = document.querySelector(".type-outline").getBBox();
    return r.width / r.height;
  });
  assert.ok(Math.abs(ratio - 1.5) < 1e-3, "it is drawn true to scale");
  await type(page, "height", "NaN");
  await page.waitForSelector(".key-why >> text=is not a length");
  await type(page, "height", "25 mm");
  await type(page, "mass", "30");
  await page.waitForSelector(".key-why >> text=has no unit");
  await type(page, "mass", "30 g");
  await page.selectOption("#type-pattern", "corners");
  await type(page, "hole_edge", "4");
  await type(page, "hole_diameter", "3.2");
  await page.waitForFunction(() => document.querySelectorAll(".type-hole").length === 4);
  // What is missing is said when it is to be written, and nothing is.
  await page.click("text=Make this type");
  await page.waitForSelector('[data-field="terminals.0.x"][aria-invalid="true"]');
  assert.equal(await own(folder, "fuses-x"), null);
  for (const [i, y] of [[0, "24"], [1, "16"]]) {
    await type(page, `terminals.${i}.x`, "3");
    await type(page, `terminals.${i}.y`, y);
  }
  for (const [key, text] of Object.entries({ nominal: "12 V", brown_out: "9 V", damage: "16 V" })) await type(page, `elements.0.${key}`, text);
  const activities = await page.locator('[data-field^="elements.0.activities."][data-field$=".mean"]').count();
  for (let i = 0; i < activities; i++) await type(page, `elements.0.activities.${i}.mean`, `${i * 200} mA`);
  await whole(page);
  const said = await page.textContent(".make-type .advice pre").catch(() => "");
  await page.click("text=Make this type");
  await page.waitForSelector("text=is made");
  const text = await own(folder, "fuses-x");
  assert.match(text, /size_mm = \[60, 40\]\nheight_mm = 25\nmass_g = 30\nholes_mm = \[\[4, 4\], \[56, 4\], \[4, 36\], \[56, 36\]\]/u);
  assert.ok(said === "" || said === text, "what was shown is what was written");
  assert.equal(await page.locator(".page img, .page b:text-is('lamp')").count(), 0, "what is typed is text");
  // On the board at once.
  await page.click("text=Put one on the board");
  await page.waitForSelector("#new-name");
  assert.equal(await page.inputValue("#new-name"), "fuses-x");
  await page.click("text=Put it there >> nth=0");
  await page.waitForSelector('[data-part="fuses-x"]');
  await saved(page);
  // Both steps back: the file goes; and again: it comes.
  await page.click(UNDO);
  await until(folder, (t) => !t.includes("fuses-x"), "the part is taken back");
  await page.click(UNDO);
  await untilOwn(folder, "fuses-x", (t) => t === null, "the type is taken back, its file and all");
  await page.click(REDO);
  await untilOwn(folder, "fuses-x", (t) => t === text, "the type comes again, byte for byte");
  // Two of one name.
  await page.click(".thing-head [aria-label=Close]");
  await makeType(page);
  await type(page, "name", "fuses-x");
  await page.waitForSelector(".key-why >> text=has a part type");
}, {}, CART));

test("a drawing's outline and circles go into the form, and its unit is asked when it is silent", realOnly, () => walk(async (page, { folder }) => {
  const dir = await mkdtemp(join(tmpdir(), "dxf-"));
  const file = join(dir, "plate.dxf");
  const lines = [[0, 0, 3, 0], [3, 0, 3, 2], [3, 2, 1, 2], [1, 2, 0, 1], [0, 1, 0, 0]]
    .flatMap(([a, b, c, d]) => [0, "LINE", 10, a, 20, b, 11, c, 21, d]);
  const circles = [[0.25, 0.25], [2.75, 0.25]].flatMap(([x, y]) => [0, "CIRCLE", 10, x, 20, y, 40, 0.0625]);
  await writeFile(file, [0, "SECTION", 2, "ENTITIES", ...lines, ...circles, 0, "TEXT", 1, "<script>", 0, "ENDSEC", 0, "EOF"].join("\n"));
  try {
    await makeType(page);
    await page.click("summary:has-text('Or begin with what there is')");
    const input = page.locator(".from-file input[accept='.dxf']");
    // No DXF, and one that is too large.
    await writeFile(join(dir, "no.dxf"), "hello\nthere\n");
    await input.setInputFiles(join(dir, "no.dxf"));
    await page.waitForSelector(".from-file >> text=does not read like a DXF");
    await writeFile(join(dir, "huge.dxf"), Buffer.alloc(8_000_001, 48));
    await input.setInputFiles(join(dir, "huge.dxf"));
    await page.waitForSelector(".from-file >> text=more than 8 MB");
    await input.setInputFiles(file);
    await page.waitForSelector("text=does not say its unit");
    await page.check(".from-file label:has-text('inches') input");
    await page.waitForSelector(".from-file >> text=An outline of 5 corners, 76.2 by 50.8 mm");
    assert.match(await page.textContent(".from-file"), /Not taken: 1 × TEXT/u);
    await page.click("text=Take it into the form");
    await page.waitForFunction(() => document.querySelectorAll(".type-hole").length === 2);
    // Taken numbers are the builder's to change.
    assert.equal(await page.inputValue("[aria-label='x of 3'] >> nth=0"), "76.2 mm");
    await page.fill("[aria-label='x of 3'] >> nth=0", "76 mm");
    await page.press("[aria-label='x of 3'] >> nth=0", "Tab");
    await type(page, "name", "plate");
    await type(page, "height", "3");
    await whole(page);
    await page.click("text=Make this type");
    await page.waitForSelector("text=is made");
    assert.equal(await own(folder, "plate"), '[[type]]\nname = "plate"\noutline_mm = [[0, 0], [76.2, 0], [76, 50.8], [25.4, 50.8], [0, 25.4]]\nheight_mm = 3\nholes_mm = [[6.35, 6.35], [69.85, 6.35]]\nhole_diameter_mm = 3.2\n');
  } finally {
    await rm(dir, { recursive: true });
  }
}, {}, CART));

for (const [where, options] of [["beside the form", {}], ["on a phone", PHONE]]) {
  test(`a photo is traced to scale, ${where}`, realOnly, () => walk(async (page, { folder }) => {
    const dir = await mkdtemp(join(tmpdir(), "photo-"));
    // A plate of 300 by 200 pixels, half a millimetre each, on a photo of 800 by 600.
    const picture = await page.evaluate(() => {
      const c = document.createElement("canvas");
      [c.width, c.height] = [800, 600];
      const g = c.getContext("2d");
      g.fillStyle = "#777";
      g.fillRect(0, 0, 800, 600);
      g.fillStyle = "#2a5";
      g.fillRect(200, 150, 300, 200);
      return c.toDataURL("image/png").split(",")[1];
    });
    await writeFile(join(dir, "plate.png"), Buffer.from(picture, "base64"));
    await writeFile(join(dir, "no.png"), "this is no picture");
    try {
      await makeType(page);
      await page.click("summary:has-text('Or begin with what there is')");
      const input = page.locator(".from-file input[accept='image/*']");
      await input.setInputFiles(join(dir, "no.png"));
      await page.waitForSelector(".from-file >> text=cannot be shown as a picture");
      await input.setInputFiles(join(dir, "plate.png"));
      await page.waitForSelector(".type-sheet.tracing .type-photo", { state: "attached" });
      const click = async (x, y) => {
        await page.locator(".type-sheet").scrollIntoViewIfNeeded();
        const at = await page.evaluate(([x, y]) => {
          const c = document.querySelector(".type-photo");
          const r = c.getBoundingClientRect();
          return [r.x + (r.width * x) / c.width, r.y + (r.height * y) / c.height];
        }, [x, y]);
        await page.mouse.click(...at);
      };
      assert.ok(await page.isDisabled("text=Click the corners, in order"), "without a scale nothing can be measured");
      await click(200, 350);
      await click(500, 350);
      await page.fill(".known", "150 mm");
      await page.waitForSelector("text=One pixel is");
      await page.click("text=Click the corners, in order");
      for (const [x, y] of [[200, 350], [500, 350], [500, 150], [350, 100], [200, 150]]) await click(x, y);
      await page.click("text=Take the last click back");
      await click(200, 150);
      await page.click("text=Click the holes");
      await click(220, 330);
      await page.waitForFunction(() => document.querySelectorAll(".type-hole").length === 1);
      if (options === PHONE) await fits(page, "the photo");
      await page.click("text=Put the photo away");
      await type(page, "name", "traced");
      await type(page, "height", "12");
      await type(page, "hole_diameter", "3.2");
      await whole(page);
      await page.click("text=Make this type");
      await page.waitForSelector("text=is made");
      const text = await own(folder, "traced");
      const numbers = /outline_mm = (\[.*\])\n/u.exec(text);
      // A finger's width on the screen is a good millimetre here.
      const slack = options === PHONE ? 2 : 0.6;
      const wanted = [[0, 0], [150, 0], [150, 100], [75, 125], [0, 100]];
      JSON.parse(numbers[1]).forEach(([x, y], i) => {
        assert.ok(Math.hypot(x - wanted[i][0], y - wanted[i][1]) < slack, `corner ${i + 1} is ${x}, ${y}`);
      });
      const [[hx, hy]] = JSON.parse(/holes_mm = (\[.*\])\n/u.exec(text)[1]);
      assert.ok(Math.hypot(hx - 10, hy - 10) < slack, `the hole is ${hx}, ${hy}`);
    } finally {
      await rm(dir, { recursive: true });
    }
  }, options, CART));
}

test("a first board, a zone, a plug and a cable by form", realOnly, () => walk(async (page, { folder }) => {
  await page.click("text=Make the board");
  await page.waitForSelector(".thing label:text-is('thickness')");
  await keyOf(page, "size").fill("320, 240 mm");
  await keyOf(page, "thickness").fill("nine");
  await page.click(".thing button:text-is('Make the board')");
  await page.waitForSelector(".key-why >> text=is not a length");
  for (const [key, text] of [["thickness", "9 mm"], ["material", "plywood"], ["depth_front", "110 mm"], ["depth_back", "20 mm"]]) await field(page, key, text);
  await page.click(".thing button:text-is('Make the board')");
  await until(folder, (t) => /\[board\]\nsize_mm = \[320, 240\]\nthickness_mm = 9\nmaterial = "plywood"/u.test(t), "the board is made");
  await page.click(".thing-head [aria-label=Close]");
  await go(page, "Parts");
  const add = async (kind, name, keys) => {
    await page.selectOption(".add-other select >> nth=0", kind);
    await page.fill(".add-other .field.grow input", name);
    for (const [key, text] of Object.entries(keys)) {
      await page.waitForSelector(`.add-other label:text-is("${key}")`);
      await field(page, key, text);
    }
    await page.click("text=Add it");
    await page.waitForSelector(`.thing-head >> text=${name}`);
    await page.click(".thing-head [aria-label=Close]");
  };
  await add("zone", "mast", { path: "50 cm" });
  await add("plug", "mast-plug", { family: "plug-power-2", zone: "mast", at: "300, 200 mm" });
  await add("cable", "pair", { kind: "twisted-pair" });
  const text = await filesOf(folder);
  assert.match(text, /\[\[zone\]\]\nname = "mast"\npath_mm = 500\n/u);
  assert.match(text, /name = "mast-plug"\nfamily = "plug-power-2"\nzone = "mast"\nface = "front"\nat_mm = \[300, 200\]/u);
  assert.match(text, /\[\[cable\]\]\nname = "pair"\nkind = "twisted-pair"/u);
  await page.waitForSelector(".others >> text=pair");
}, { robotless: true }, { prepare: bare }));

test("a part moves between board and zone, and corners are a table", realOnly, () => walk(async (page, { folder }) => {
  await choose(page, "receiver");
  await page.click("text=All about it");
  await page.selectOption("#stands", "zone mast");
  await until(folder, (t) => /name = "receiver"\ntype = "radio-receiver-5v"\nzone = "mast"\n/u.test(t), "it is in the zone");
  await page.selectOption("#stands", "face back");
  await until(folder, (t) => /name = "receiver"\ntype = "radio-receiver-5v"\nface = "back"\nat_mm = \[160, 120\]\n/u.test(t), "it is on the back");
  await page.click(".thing-head [aria-label=Close]");
  // The corners of a wire: added, drawn, written, taken out again.
  await go(page, "Wires");
  await page.click("text=heart-4");
  await page.click("text=All about it");
  await page.click("text=/more that may be given/u");
  const pins = page.locator(".corners[aria-label=pins]");
  await pins.locator("text=Add a point").click();
  assert.ok(await pins.locator("text=Write these corners").isDisabled(), "a corner without a place is none");
  await pins.locator("[aria-label='x of 1']").fill("90");
  await pins.locator("[aria-label='y of 1']").fill("170");
  await pins.locator("[aria-label='y of 1']").press("Tab");
  await pins.locator("text=Add a point").click();
  await pins.locator("[aria-label='x of 2']").fill("100 mm");
  await pins.locator("[aria-label='y of 2']").fill("160");
  await pins.locator("[aria-label='y of 2']").press("Tab");
  await page.waitForSelector(".ghost.way", { state: "attached" });
  await pins.locator("[aria-label='Move 2 up']").click();
  await pins.locator("text=Write these corners").click();
  await until(folder, (t) => t.includes('pins = [{ face = "front", at_mm = [100, 160] }, { face = "front", at_mm = [90, 170] }]'), "both are written, in their new order");
  await pins.locator("[aria-label='Take 1 out']").click();
  await pins.locator("text=Write these corners").click();
  await until(folder, (t) => t.includes('pins = [{ face = "front", at_mm = [90, 170] }]'), "one is taken out");
  await pins.locator("[aria-label='Take 1 out']").click();
  await pins.locator("text=Write these corners").click();
  await until(folder, (t) => !t.includes("pins ="), "without corners the key goes");
}, {}, CART));

for (const [words, options] of [["paper", { colorScheme: "light" }], ["slate", { colorScheme: "dark" }], ["a phone", PHONE], ["a narrow column", { viewport: { width: 1024, height: 768 } }]]) {
  test(`the form of a type can be read on ${words}`, realOnly, () => walk(async (page) => {
    await makeType(page);
    await page.selectOption("#type-kind", "driver");
    await page.click("summary:has-text('Or begin with what there is')");
    await type(page, "name", "a b");
    await type(page, "width", "90");
    await type(page, "depth", "70");
    await page.selectOption("#type-pattern", "spacing");
    await page.click("text=Make this type");
    await page.waitForSelector(".key-why >> text=A space cannot");
    await fits(page, "the form");
    await readable(page, "the form");
    await page.fill("#type-like", "audio-amplifier-24v-2x50w");
    await page.click("text=Take its numbers over");
    await page.waitForFunction(() => document.querySelectorAll(".type-terminal").length > 5);
    await type(page, "name", "my-amplifier");
    await whole(page);
    await fits(page, "whole");
    await readable(page, "whole");
  }, options, CART));
}
