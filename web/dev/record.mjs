// Writes down what a real desk tells, for the stand-in:
//
//   node dev/record.mjs 'http://127.0.0.1:PORT/?key=…' [fixtures/study.json]

import { writeFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { WebSocket } from "ws";

const desk = new URL(process.argv[2]);
const into = process.argv[3] ?? fileURLToPath(new URL("../fixtures/study.json", import.meta.url));
const welcome = await fetch(desk, { redirect: "manual" });
const cookie = welcome.headers.get("set-cookie").split(";")[0];
const line = new WebSocket(`ws://${desk.host}/talk`, { headers: { cookie, origin: desk.origin } });
line.on("open", () => line.send(JSON.stringify({ ask: "hello" })));
const sections = {};
let asked = 0;
const loads = [];
line.on("message", async (text) => {
  const tell = JSON.parse(String(text));
  if (tell.tell !== "study") return;
  Object.assign(sections, tell.sections);
  if (!tell.deep) return;
  // Then the loads of one situation after the other.
  if (tell.answers === asked && asked > 0) loads.push(tell.sections.loads);
  const next = sections.situations[asked];
  if (next) return line.send(JSON.stringify({ ask: "look", id: ++asked, situation: next.name, beside: ["good_news", "diagram", "make"] }));
  sections.loads = loads;
  await writeFile(into, `${JSON.stringify(sections)}\n`);
  line.close();
});
