// The pictures of every page are taken in each run, beside the project: none is blank, too large, or of another size than
// the one in docs/pictures; and docs/pictures has each of them. `npm run pictures` puts new ones there.

import assert from "node:assert/strict";
import { readFile, readdir } from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { MOST, album } from "./album.mjs";
import { pictures, realOnly } from "./stand.mjs";

const docs = fileURLToPath(new URL("../../../docs/pictures", import.meta.url));
/** Width and height stand in the head of a PNG: RFC 2083, section 11.2.1. */
const sizeOf = (png) => [png.readUInt32BE(16), png.readUInt32BE(20)];

test("every page has its picture", realOnly, async () => {
  const scratch = join(pictures, "album");
  const names = await album(scratch);
  assert.deepEqual([...names].sort(), (await readdir(docs)).filter((n) => /^desk-.*\.png$/u.test(n)).sort());
  for (const name of names) {
    const [now, kept] = await Promise.all([readFile(join(scratch, name)), readFile(join(docs, name))]);
    assert.ok(now.length < MOST, `${name}: ${now.length} bytes`);
    assert.deepEqual(sizeOf(now), sizeOf(kept), name);
    // A page of one colour takes less than a byte for forty dots; one of this project's drawings far more.
    const [w, h] = sizeOf(now);
    assert.ok(now.length > (w * h) / 40, `${name} is nearly blank: ${now.length} bytes`);
  }
});
