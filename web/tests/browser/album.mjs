// The pictures of every page on the samovar. Each time the same size, without motion, and small: few colours, as a
// drawing has.

import { mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { fewColours } from "./palette.mjs";
import { UNDO, choose, drag, go, isPhone, look, make, middleOf } from "./hand.mjs";
import { browser, open, real } from "./stand.mjs";

/** Largest picture that goes into the project, bytes. */
export const MOST = 150_000;

/** Takes the whole album into a folder; resolves to the names of the pictures. */
export async function album(into) {
  await mkdir(into, { recursive: true });
  const chromium = await browser();
  const stand = await real(undefined, "samovar");
  const paint = await chromium.newPage();
  const names = [];
  const shot = async (page, name, { inHand = false } = {}) => {
    // All of it, however it was looked at before.
    if (!["power", "slate"].includes(name) && !isPhone(page) && !inHand) await page.click("button:has-text('Fit')");
    if (!inHand) {
      await page.mouse.move(2, 2);
      await page.evaluate(() => document.activeElement?.blur());
    }
    await still(page);
    await writeFile(join(into, `desk-${name}.png`), await fewColours(paint, await page.screenshot({ animations: "disabled", caret: "hide" })));
    names.push(`desk-${name}.png`);
  };
  const opened = async (options) => {
    const page = await open(chromium, stand.url, { viewport: { width: 1120, height: 700 }, colorScheme: "light", ...options });
    // What follows when the hand rests is there.
    await make(page);
    await go(page, "Findings");
    return page;
  };
  try {
    await taken({ opened, shot });
  } finally {
    await chromium.close();
    await stand.close();
  }
  return names;
}

/** Waits until two pictures in a row, taken a moment apart, are the same. */
async function still(page) {
  let before = null;
  for (let i = 0; i < 40; i++) {
    const now = await page.screenshot({ animations: "disabled", caret: "hide" });
    if (before?.equals(now)) return;
    before = now;
    await page.waitForTimeout(100);
  }
  throw new Error("the page does not come to rest");
}

async function taken({ opened, shot }) {
  const wide = await opened({});
  await wide.locator(".finding-head").first().click();
  await shot(wide, "findings");
  await wide.locator(".finding-head").first().click();
  // A part in the hand, over another.
  await look(wide, "Front");
  await wide.click("button:has-text('Fit')");
  const [held, under] = ["pump-driver", "lid-driver"];
  const [from, to] = [await middleOf(wide, held), await middleOf(wide, under)];
  await drag(wide, held, to.x - from.x + 12, (to.y - from.y) * 0.55, { steps: 8, release: false });
  await wide.waitForSelector(".mark-clash");
  await shot(wide, "marks", { inHand: true });
  await wide.keyboard.press("Escape");
  await wide.mouse.up();
  await wide.keyboard.press("Escape");
  await wide.waitForSelector(`${UNDO}[disabled]`);
  await go(wide, "Situation");
  await wide.selectOption(".situation select >> nth=0", "serving");
  await shot(wide, "situation");
  await wide.selectOption(".plots select", "currents");
  await wide.waitForSelector(".plots .drawn");
  await shot(wide, "plot");
  await wide.selectOption(".situation select >> nth=0", "");
  await go(wide, "Parts");
  const name = await wide.evaluate(() => document.querySelector(".part:not(.plug)").getAttribute("data-part"));
  await choose(wide, name);
  await shot(wide, "parts");
  await wide.click(".in-hand >> text=All about it");
  await wide.waitForSelector(".thing .key");
  await shot(wide, "fields");
  await wide.click(".thing-head [aria-label=Close]");
  await wide.click("[aria-label='Put down']");
  await go(wide, "Wires");
  await look(wide, "Back");
  await shot(wide, "wires");
  await look(wide, "Power");
  await wide.waitForSelector(".diagram .in-box");
  await wide.click(".diagram .in-box >> nth=0");
  await shot(wide, "power");
  await wide.click("[aria-label='Put down']");
  await look(wide, "Front");
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

  const slate = await opened({ colorScheme: "dark" });
  await look(slate, "Power");
  await slate.waitForSelector(".diagram .in-box");
  await shot(slate, "slate");
  await look(slate, "Front");
  await slate.locator(".finding-head").first().click();
  await shot(slate, "dark");
  await slate.context().close();

  const phone = await opened({ viewport: { width: 360, height: 640 }, hasTouch: true });
  await go(phone, "Make");
  await shot(phone, "phone");
  await go(phone, "Findings");
  await phone.locator(".finding-head").first().click();
  await shot(phone, "phone-finding");
  await go(phone, "Board");
  await shot(phone, "phone-board");
  await phone.context().close();
}
