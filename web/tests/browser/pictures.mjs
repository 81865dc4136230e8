// Pictures of every page of the desk on the samovar, for docs/pictures:
//
//   LOOMDECK_DESK=path/of/loomdeck npm run pictures
//
// The test run takes them too, beside it; only this puts them into the project.

import { copyFile, mkdir, readdir, rm, stat } from "node:fs/promises";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { MOST, album } from "./album.mjs";
import { pictures, program } from "./stand.mjs";

if (!program) {
  console.error("LOOMDECK_DESK must name the program: the pictures are of the real desk.");
  process.exit(1);
}
const into = fileURLToPath(new URL("../../../docs/pictures", import.meta.url));
const scratch = join(pictures, "album");
const names = await album(scratch);
await mkdir(into, { recursive: true });
// One that is no longer taken does not stay.
for (const old of await readdir(into)) if (/^desk-.*\.png$/u.test(old) && !names.includes(old)) await rm(join(into, old));
let large = 0;
for (const name of names) {
  const { size } = await stat(join(scratch, name));
  if (size >= MOST) large++;
  else await copyFile(join(scratch, name), join(into, name));
  console.log(`${name}: ${size} bytes${size >= MOST ? ", too large" : ""}`);
}
process.exit(large > 0 ? 1 : 0);
