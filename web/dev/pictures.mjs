// Takes pictures of the pages at desk, tablet and phone size on paper and slate, to be looked at by people:
//
//   node dev/pictures.mjs [address] [folder]      (without an address: the stand-in)

import { mkdir } from "node:fs/promises";
import { join } from "node:path";
import { browser, desk, open, pictures } from "../tests/browser/stand.mjs";

const stand = process.argv[2] ? { url: process.argv[2], close: async () => {} } : await desk();
const into = process.argv[3] ?? pictures;
await mkdir(into, { recursive: true });
const chromium = await browser();
for (const [size, width, height] of [["desk", 1440, 900], ["tablet", 1024, 768], ["phone", 360, 640]]) {
  for (const [colours, colorScheme] of [["paper", "light"], ["slate", "dark"]]) {
    const page = await open(chromium, stand.url, { viewport: { width, height }, colorScheme });
    const bar = size === "phone" ? ".phone-bar" : "nav.pages";
    const take = async (name) => {
      await page.waitForTimeout(250);
      await page.screenshot({ path: join(into, `${size}-${colours}-${name}.png`) });
    };
    await take("board");
    await page.click(`${bar} >> text=Findings`);
    await page.locator(".finding-head").first().click();
    await take("finding");
    await page.click(`${bar} >> text=Situation`);
    await page.selectOption(".situation select >> nth=0", { index: 3 });
    await take("situation");
    await page.click(`${bar} >> text=Wires`);
    await take("wires");
    await page.context().close();
  }
}
await chromium.close();
await stand.close();
