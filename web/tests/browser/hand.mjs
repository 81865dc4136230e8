// What a hand does on a page, and what an eye reads there.

import assert from "node:assert/strict";

export const UNDO = "button:has-text('Undo')";
export const REDO = "button:has-text('Redo')";
/** For what follows when the hand rests, on a slow machine. */
export const LONG = { timeout: 60000 };
export const PHONE = { viewport: { width: 360, height: 640 }, hasTouch: true };

export const isPhone = (page) => page.viewportSize().width < 720;
/** Goes to a page of words. */
export const go = (page, name) => page.click(`${isPhone(page) ? ".phone-bar" : "nav.pages"} >> text=${name}`);
/** Looks at the front, the back or the power diagram. */
export const look = async (page, at) => {
  if (isPhone(page)) await go(page, "Board");
  await page.click(`[aria-label='View'] >> text=${at}`);
};
export const make = async (page, list = null) => {
  await go(page, "Make");
  await page.waitForSelector(".make select", LONG);
  if (list) await page.selectOption(".make-choice select", list);
};
export const power = async (page) => {
  await look(page, "Power");
  await page.waitForSelector(".diagram .in-box", LONG);
  await page.click("button:has-text('Fit')");
};
export const saved = (page) => page.waitForFunction(() => document.querySelector(".state")?.textContent?.includes("● Saved"));
/** A step has been made that can be taken back. */
export const stepped = (page) => page.waitForSelector(`${UNDO}:not([disabled])`);

/** Middle of a part on the screen. */
export async function middleOf(page, name) {
  return page.evaluate((name) => {
    const r = document.querySelector(`[data-part="${CSS.escape(name)}"] .part-outline`).getBoundingClientRect();
    return { x: r.x + r.width / 2, y: r.y + r.height / 2, width: r.width, height: r.height };
  }, name);
}

/** A point of a part that nothing lies over, so that a hand can take it. */
export async function gripOf(page, name) {
  const at = await page.evaluate((name) => {
    const r = document.querySelector(`[data-part="${CSS.escape(name)}"] .part-outline`).getBoundingClientRect();
    for (let i = 1; i < 12; i++) {
      for (let j = 1; j < 12; j++) {
        const [x, y] = [r.x + (r.width * i) / 12, r.y + (r.height * j) / 12];
        if (document.elementFromPoint(x, y)?.closest("[data-part]")?.getAttribute("data-part") === name) return { x, y };
      }
    }
    return null;
  }, name);
  if (!at) throw new Error(`nothing of ${name} can be taken`);
  return at;
}

export async function choose(page, name) {
  const at = await gripOf(page, name);
  await page.mouse.click(at.x, at.y);
}

/** What the page says of a part's place: its label for screen readers. */
export const placeOf = (page, name) => page.getAttribute(`[data-part="${name}"]`, "aria-label");
/** Waits until a part is where it was told to be. */
export const placed = (page, name, wanted) =>
  page.waitForFunction(([n, w]) => document.querySelector(`[data-part="${CSS.escape(n)}"]`)?.getAttribute("aria-label") === w, [name, wanted]);

/** Drags a part by so many dots of the screen. */
export async function drag(page, name, dx, dy, { steps = 6, release = true } = {}) {
  const at = await gripOf(page, name);
  await page.mouse.move(at.x, at.y);
  await page.mouse.down();
  await page.mouse.move(at.x + dx, at.y + dy, { steps });
  if (release) await page.mouse.up();
  return at;
}

/** Where a point of the board is on the screen, mm from the lower left as seen from the front. */
export async function onScreen(page, x, y) {
  return page.evaluate(([x, y]) => {
    const g = document.querySelector(".drawing > g[transform]");
    const p = new DOMPoint(x, y).matrixTransform(g.getScreenCTM());
    return { x: p.x, y: p.y };
  }, [x, y]);
}

/** The field of a key of the thing that is on the bench. */
export const keyOf = (page, key) => page.locator(".key").filter({ has: page.locator(`label:text-is("${key}")`) }).locator("input, select");
/** Types or chooses the value of a key. */
export async function field(page, key, value) {
  const input = keyOf(page, key);
  if ((await input.evaluate((e) => e.tagName)) === "SELECT") await input.selectOption(value);
  else {
    await input.fill(value);
    await input.press("Enter");
  }
  return input;
}

/** The findings as the page has them: { key, severity, text }. */
export const findingsOf = (page) => page.evaluate(() => [...document.querySelectorAll(".finding[data-item]")].map((f) => ({
  key: f.getAttribute("data-item"),
  severity: ["danger", "fix", "look", "note"].find((s) => f.classList.contains(s)),
  text: f.querySelector(".finding-words").textContent,
})));

/** Nothing is wider than the page, and nothing runs out at its right. */
export async function fits(page, where) {
  const { width } = page.viewportSize();
  const found = await page.evaluate((w) => ({
    wide: document.documentElement.scrollWidth,
    over: [...document.querySelectorAll(".page *, .top *, .notices *, .phone-bar *, .in-hand *")]
      .filter((e) => !e.closest(".drawn, .unseen, pre"))
      .filter((e) => e.getBoundingClientRect().width > 0 && e.getBoundingClientRect().right > w + 1)
      .slice(0, 3).map((e) => `${e.className || e.tagName}: ${e.textContent.slice(0, 60)}`),
  }), width);
  assert.ok(found.wide <= width, `${where}: ${found.wide} wide`);
  assert.deepEqual(found.over, [], `${where}: nothing runs out at the right`);
}
