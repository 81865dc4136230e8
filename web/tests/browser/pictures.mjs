// Pictures of every page of the desk on the samovar, for docs/pictures:
//
//   LOOMDECK_DESK=path/of/loomdeck npm run pictures
//
// The same size each time, without motion, and small: few colours, as a drawing has.

import { mkdir, stat, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { fewColours } from "./palette.mjs";
import { gripOf, middleOf } from "./hand.mjs";
import { browser, open, program, real } from "./stand.mjs";

const into = fileURLToPath(new URL("../../../docs/pictures", import.meta.url));
/** Largest picture that goes into the project, bytes. */
const MOST = 150_000;

if (!program) {
  console.error("LOOMDECK_DESK must name the program: the pictures are of the real desk.");
  process.exit(1);
}
await mkdir(into, { recursive: true });
const chromium = await browser();
const stand = await real(undefined, "samovar");
const paint = await chromium.newPage();
const written = [];

async function shot(page, name, { inHand = false } = {}) {
  // All of it, however it was looked at before.
  if (!inHand && name !== "power" && name !== "slate" && name !== "phone") await page.click("button:has-text('Fit')");
  if (!inHand) await page.mouse.move(2, 2);
  await page.evaluate(() => document.activeElement?.blur());
  await page.waitForTimeout(400);
  const path = join(into, `desk-${name}.png`);
  await writeFile(path, await fewColours(paint, await page.screenshot({ animations: "disabled", caret: "hide" })));
  written.push(path);
}
const page = async (options) => {
  const p = await open(chromium, stand.url, { viewport: { width: 1120, height: 700 }, colorScheme: "light", ...options });
  // What follows when the hand rests is there.
  await p.click(`${p.viewportSize().width < 720 ? ".phone-bar" : "nav.pages"} >> text=Make`);
  await p.waitForSelector(".make select", { timeout: 120000 });
  await p.click(`${p.viewportSize().width < 720 ? ".phone-bar" : "nav.pages"} >> text=Findings`);
  return p;
};
const go = (p, name) => p.click(`nav.pages >> text=${name}`);

try {
  const wide = await page({});
  await wide.locator(".finding-head").first().click();
  await shot(wide, "findings");
  await wide.locator(".finding-head").first().click();
  // A part in the hand, over another.
  await wide.click("[aria-label='View'] >> text=Front");
  await wide.click("button:has-text('Fit')");
  const [held, under] = ["pump-driver", "lid-driver"];
  const [grip, from, to] = [await gripOf(wide, held), await middleOf(wide, held), await middleOf(wide, under)];
  await wide.mouse.move(grip.x, grip.y);
  await wide.mouse.down();
  await wide.mouse.move(grip.x + to.x - from.x + 12, grip.y + (to.y - from.y) * 0.55, { steps: 8 });
  await wide.waitForSelector(".mark-clash");
  await shot(wide, "marks", { inHand: true });
  await wide.keyboard.press("Escape");
  await wide.mouse.up();
  await wide.keyboard.press("Escape");
  await go(wide, "Situation");
  await wide.selectOption(".situation select >> nth=0", "serving");
  await shot(wide, "situation");
  await wide.selectOption(".plots select", "currents");
  await wide.waitForSelector(".plots .drawn");
  await shot(wide, "plot");
  await wide.selectOption(".situation select >> nth=0", "");
  await go(wide, "Parts");
  const name = await wide.evaluate(() => document.querySelector(".part:not(.plug)").getAttribute("data-part"));
  const at = await gripOf(wide, name);
  await wide.mouse.click(at.x, at.y);
  await shot(wide, "parts");
  await wide.click("[aria-label='Put down']");
  await go(wide, "Wires");
  await wide.click("[aria-label='View'] >> text=Back");
  await shot(wide, "wires");
  await wide.click("[aria-label='View'] >> text=Power");
  await wide.waitForSelector(".diagram .in-box");
  await wide.click(".diagram .in-box >> nth=0");
  await shot(wide, "power");
  await wide.click("[aria-label='Put down']");
  await wide.click("[aria-label='View'] >> text=Front");
  await go(wide, "Make");
  // A step that screws a part to the board has a picture.
  await wide.locator(".step-name-button", { hasText: name }).last().click();
  await wide.waitForSelector(".step.open .drawn");
  await wide.evaluate(() => document.querySelector(".step.open").scrollIntoView({ block: "start" }));
  await shot(wide, "make");
  await wide.selectOption(".make-choice select", "cut");
  for (let i = 0; i < 3; i++) await wide.locator(".make .tick input").nth(i).check();
  await wide.waitForFunction(() => /^3 of/u.test(document.querySelector(".counted b").textContent));
  await shot(wide, "cuts");
  for (let i = 0; i < 3; i++) await wide.locator(".make .tick input").nth(i).uncheck();
  await wide.selectOption(".make-choice select", "papers");
  await shot(wide, "papers");
  await wide.context().close();

  const slate = await page({ colorScheme: "dark" });
  await slate.click("[aria-label='View'] >> text=Power");
  await slate.waitForSelector(".diagram .in-box");
  await shot(slate, "slate");
  await slate.context().close();

  const phone = await page({ viewport: { width: 360, height: 640 }, hasTouch: true });
  await phone.click(".phone-bar >> text=Make");
  await shot(phone, "phone");
  await phone.context().close();
} finally {
  await chromium.close();
  await stand.close();
}

let large = 0;
for (const path of written) {
  const { size } = await stat(path);
  if (size >= MOST) large++;
  console.log(`${path.slice(into.length + 1)}: ${size} bytes${size >= MOST ? ", too large" : ""}`);
}
process.exit(large > 0 ? 1 : 0);
