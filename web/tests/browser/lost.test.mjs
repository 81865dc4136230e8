// The program is killed in the middle of what it does, and started again: nothing is lost, and no file is half written.

import assert from "node:assert/strict";
import { readdir } from "node:fs/promises";
import { test } from "node:test";
import { UNDO, choose, drag, field, keyOf, placeOf, placed, saved, stepped } from "./hand.mjs";
import { checked, drawn, filesOf, fresh, realOnly, until, walks, watched } from "./stand.mjs";

const walk = walks();
/** What a browser says by itself of a line that goes, and of a key that opens nothing any more. */
const expected = (page) => {
  page.wrong = page.wrong.filter((m) => !/WebSocket connection to|ERR_CONNECTION_REFUSED|ERR_EMPTY_RESPONSE|ERR_CONNECTION_RESET|status of 403/u.test(m));
};
/** Opens the newly printed address beside the page that waits. */
async function readdressed(page, address) {
  const beside = watched(await page.context().newPage(), address);
  await beside.goto(address);
  await drawn(beside);
  return beside;
}
const atOf = async (page, name) => /at ([\d.,]+)\s*mm from the left and ([\d.,]+)/u.exec(await placeOf(page, name)).slice(1, 3).map(Number);
const written = (text, name) => new RegExp(`name = "${name}"[^\\[]*?at_mm = \\[([\\d.]+), ([\\d.]+)\\]`, "u").exec(text).slice(1, 3).map(Number);

test("the desk ends while a part is in your hand; the page says what to do, and the move is kept", realOnly, () => walk(async (page, stand) => {
  const original = await filesOf(stand.folder);
  const start = await placeOf(page, "fuses");
  await drag(page, "fuses", -30, 40, { release: false });
  await stand.kill();
  await page.waitForSelector(".state >> text=No line to the desk");
  await page.mouse.up();
  const dropped = await placeOf(page, "fuses");
  assert.notEqual(dropped, start);
  await page.waitForSelector(".state >> text=what you did is kept here");
  await page.waitForSelector(".notice >> text=The desk does not answer");
  assert.match(await page.textContent(".notice li"), /^Move fuses .* left and .* down$/u);
  assert.equal(await filesOf(stand.folder), original, "what was only in the hand is in no file");
  // On the same port with a new key: the old one opens nothing, and the page says which address does.
  const address = await stand.again();
  await page.waitForSelector(".notice >> text=Open the address that the terminal shows now");
  assert.equal(await placeOf(page, "fuses"), dropped, "it stays where you put it");
  const beside = await readdressed(page, address);
  await page.waitForSelector(".notice.broken", { state: "detached" });
  await saved(page);
  await stepped(page);
  assert.equal(await placeOf(page, "fuses"), dropped);
  await placed(beside, "fuses", dropped);
  await until(stand.folder, (t) => t !== original, "the move is in the files");
  await page.click(UNDO);
  await placed(page, "fuses", start);
  await until(stand.folder, (t) => t === original, "one step, taken back");
  assert.deepEqual(beside.wrong, []);
  expected(page);
}, {}, { prepare: fresh }));

test("what is typed into a field while the desk is away stays there", realOnly, () => walk(async (page, stand) => {
  await choose(page, "fuses");
  await page.click(".in-hand >> text=All about it");
  await page.click("text=/more that may be given/");
  const note = keyOf(page, "note");
  await note.waitFor();
  await stand.kill();
  await page.waitForSelector(".state >> text=No line to the desk");
  await note.fill("spare fuses in the lid");
  await note.press("Enter");
  await page.waitForSelector(".key-why >> text=no line to the desk");
  const beside = await readdressed(page, await stand.again());
  await saved(page);
  assert.equal(await note.inputValue(), "spare fuses in the lid");
  await field(page, "note", "spare fuses in the lid");
  await until(stand.folder, (t) => t.includes('note = "spare fuses in the lid"'), "it goes out when you say so again");
  assert.deepEqual(beside.wrong, []);
  expected(page);
}, {}, { prepare: fresh }));

test("killed again and again during saves: whole files, and no answered step is lost", realOnly, () => walk(async (page, stand) => {
  const { folder } = stand;
  let address = stand.url;
  await choose(page, "fuses");
  for (let round = 0; round < 6; round++) {
    const before = await atOf(page, "fuses");
    const left = page.locator(".in-hand input").first();
    await left.fill(String(before[0] + 1));
    await left.press("Enter");
    // From at once to well after the save: the round decides.
    await new Promise((done) => setTimeout(done, round * 6));
    const answered = (await page.textContent(".state")).includes("● Saved");
    await stand.kill();
    const lying = await filesOf(folder);
    assert.ok(lying.length > 500, "no file is empty");
    address = await stand.again();
    const beside = await readdressed(page, address);
    await saved(page);
    const now = await until(folder, (t) => written(t, "fuses")[0] === before[0] + 1, `round ${round}: the step is in the files`);
    if (answered) assert.equal(written(lying, "fuses")[0], before[0] + 1, "what was said to be saved was saved");
    assert.deepEqual(await atOf(page, "fuses"), written(now, "fuses"));
    assert.deepEqual(await atOf(beside, "fuses"), written(now, "fuses"));
    assert.deepEqual(beside.wrong, []);
    await beside.close();
  }
  const { status, said } = checked(folder);
  assert.ok(status !== 2 && !/must be put right first/u.test(said), said);
  assert.deepEqual((await readdir(folder)).filter((n) => !/^(?:\.loomdeck|[\w-]+\.toml|README\.md|\.gitignore)$/u.test(n)), [], "nothing half done lies about");
  // Every step of every round can be taken back.
  for (let round = 0; round < 6; round++) {
    const before = await atOf(page, "fuses");
    await page.click(UNDO);
    await until(folder, (t) => written(t, "fuses")[0] === before[0] - 1, `step ${round} is taken back`);
    await page.waitForFunction((x) => document.querySelector('[data-part="fuses"]').getAttribute("aria-label").includes(`at ${x}`), before[0] - 1);
  }
  expected(page);
}, {}, { prepare: fresh }));
