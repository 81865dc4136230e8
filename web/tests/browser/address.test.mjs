// Addresses: without the key, with a wrong one, unknown ones; what a page asks for stays on this machine; motion and
// scripts as the reader wants them.

import assert from "node:assert/strict";
import { test } from "node:test";
import { LONG, choose, go, look, make } from "./hand.mjs";
import { browser, realOnly, real, walks, watched } from "./stand.mjs";

const walk = walks();

test("without the key, or with an old one, the page says where the address is", realOnly, async () => {
  const stand = await real();
  const chromium = await browser();
  try {
    for (const address of [new URL("/", stand.url).href, `${new URL("/", stand.url).href}?key=${"0".repeat(32)}`, new URL("/paper/book.pdf", stand.url).href]) {
      const context = await chromium.newContext();
      const page = watched(await context.newPage(), stand.url);
      const answer = await page.goto(address);
      assert.equal(answer.status(), 403, address);
      assert.match(await page.textContent("h1"), /needs its address as it was printed/u);
      assert.match(await page.textContent("body"), /terminal in which `?loomdeck open`? runs/u);
      assert.equal(await page.locator("script").count(), 0);
      assert.deepEqual(await context.cookies(), [], "no key is given away");
      // No line either.
      const line = await page.evaluate((host) => new Promise((done) => {
        const wire = new WebSocket(`ws://${host}/talk`);
        wire.onopen = () => done("open");
        wire.onerror = () => done("shut");
      }), new URL(stand.url).host).catch(() => "shut");
      assert.equal(line, "shut");
      await context.close();
    }
  } finally {
    await chromium.close();
    await stand.close();
  }
});

test("unknown addresses give a page that helps", realOnly, () => walk(async (page, stand) => {
  for (const path of ["/nowhere", "/assets/none.js", "/paper/none.pdf", "/robot.toml", "/../../etc/passwd", "/%2e%2e/robot.toml", "/.loomdeck/history.jsonl", "/talk/more", "/<script>alert(1)</script>"]) {
    const answer = await page.goto(new URL(stand.url).origin + path);
    assert.equal(answer.status(), 404, path);
    assert.match(await page.textContent("h1"), /There is nothing here|no paper|not here/iu, path);
    assert.ok((await page.textContent("body")).length > 40, `${path}: it says what to do`);
    assert.equal(await page.locator("script").count(), 0);
  }
  page.wrong = page.wrong.filter((m) => !/status of 404/u.test(m));
  await page.goto(new URL("/", stand.url).href);
  await page.waitForSelector(".part");
}));

test("nothing that the desk shows is asked of another machine, and the key stays out of the address", realOnly, () => walk(async (page, stand) => {
  await choose(page, "fuses");
  await page.click(".in-hand >> text=All about it");
  for (const name of ["Findings", "Situation", "Parts", "Wires"]) await go(page, name);
  await look(page, "Power");
  await page.waitForSelector(".diagram .in-box", LONG);
  await make(page, "papers");
  const { host } = new URL(stand.url);
  assert.ok(page.asked.length > 5 && page.asked.some((a) => a.startsWith(`ws://${host}/talk`)), page.asked.join(" "));
  assert.deepEqual(page.asked.filter((a) => !/^data:|^blob:/u.test(a) && new URL(a).host !== host), []);
  assert.deepEqual(page.asked.slice(1).filter((a) => a.includes("key=")), [], "the key is in the first address alone");
  assert.equal(new URL(page.url()).search, "");
  assert.equal(await page.evaluate(() => document.cookie), "", "no script can read the key");
  const kept = await page.evaluate(() => JSON.stringify({ ...localStorage, ...sessionStorage }));
  assert.ok(!kept.includes(new URL(stand.url).searchParams.get("key")));
}, {}, { robot: "cart" }));

test("motion is left away for who does not want it", realOnly, () => walk(async (page) => {
  const moving = () => page.evaluate(() => document.getAnimations().filter((a) => a.playState === "running").map((a) => `${a.effect.target?.className} ${a.transitionProperty ?? a.animationName}`));
  const seen = await page.evaluate(async () => {
    const widths = [];
    document.querySelectorAll("[aria-label='View'] button")[1].click();
    for (let i = 0; i < 12; i++) {
      await new Promise((done) => requestAnimationFrame(done));
      widths.push(document.querySelector(".sheet-face").getBoundingClientRect().width);
    }
    return widths;
  });
  assert.ok(Math.max(...seen) - Math.min(...seen) < 1, `the board is turned over at once: ${seen.map(Math.round)}`);
  assert.deepEqual(await moving(), []);
  await page.click("nav.pages >> text=Findings");
  await page.locator(".finding-head").first().click();
  assert.deepEqual(await moving(), []);
  assert.equal(await page.evaluate(() => getComputedStyle(document.documentElement).scrollBehavior), "auto");
}, { reducedMotion: "reduce" }, { robot: "cart" }));
