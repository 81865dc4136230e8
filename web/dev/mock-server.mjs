// A stand-in for the desk, for work on the pages without it: plays a recorded study, moves and turns parts,
// undoes and redoes. It computes nothing: findings stay as they were recorded.
//
//   node dev/mock-server.mjs [study.json] [port]      (pages from dist/)

import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { WebSocketServer } from "ws";
import { pagesServer } from "./pages.mjs";

const here = fileURLToPath(new URL("..", import.meta.url));
/** Serves `sections`, in which `loads` stand for every situation, on `port` (0: any). Resolves to { port, close, cut, state }. */
export async function serve(sections, port = 0) {
  const state = { rev: 1, sections: structuredClone(sections), past: [], future: [], refuse: null, guest: false, ticks: [], pictures: {} };
  const pages = new Set();
  let trying = null;

  const http = pagesServer({ made: (req, res) => {
    // Pictures by their name; of papers it has none.
    const name = decodeURIComponent(req.url.split("/").at(-1));
    if (req.url.startsWith("/picture/")) res.writeHead(200, { "content-type": "application/json" }).end(JSON.stringify(state.pictures[name] ?? null));
    else res.writeHead(404).end("not here");
  } });
  const talk = new WebSocketServer({ server: http, path: "/talk", maxPayload: 1 << 20 });

  const tell = (page, message) => page.send(JSON.stringify(message));
  const kept = (page) => tell(page, {
    tell: "kept", rev: state.rev, undo: state.past.at(-1)?.words ?? null, redo: state.future.at(-1)?.words ?? null, saved: true,
  });
  const everyone = (sections, answers, from) => {
    for (const page of pages) {
      tell(page, { tell: "study", rev: state.rev, ...(page === from ? { answers } : {}), trying: trying !== null, deep: false, sections });
      kept(page);
    }
  };

  function edited(parts, edits) {
    const next = structuredClone(parts);
    for (const { set } of edits) {
      const part = next.find((p) => p.name === set?.on.name);
      if (!part) return null;
      if (set.key === "at") move(part, set.value.point_mm);
      else if (set.key === "turn") turn(part, set.value.angle_deg);
      else if (set.key === "face") over(part, set.value.text);
    }
    return next;
  }
  const points = (part, f) => {
    part.outline = part.outline.map(f);
    for (const t of part.terminals) t.at_mm = f(t.at_mm);
  };
  function move(part, at) {
    const [dx, dy] = [at[0] - part.at_mm[0], at[1] - part.at_mm[1]];
    points(part, ([x, y]) => [x + dx, y + dy]);
    part.at_mm = at;
  }
  function turn(part, deg) {
    const a = ((deg - part.turn_deg) * (part.face === "front" ? 1 : -1) * Math.PI) / 180;
    const [ox, oy] = part.at_mm;
    points(part, ([x, y]) => [ox + (x - ox) * Math.cos(a) - (y - oy) * Math.sin(a), oy + (x - ox) * Math.sin(a) + (y - oy) * Math.cos(a)]);
    part.turn_deg = deg;
  }
  function over(part, face) {
    if (face === part.face) return;
    points(part, ([x, y]) => [2 * part.at_mm[0] - x, y]);
    part.face = face;
  }

  const answer = {
    hello: (page) => {
      page.greeted = true;
      const { loads, ...sections } = state.sections;
      const looked = page.situation ? { loads: loads.find((l) => l.situation === page.situation) } : {};
      tell(page, { tell: "welcome", guest: state.guest, may_edit: !state.guest, phones: [], phones_may_edit: false });
      tell(page, { tell: "study", rev: state.rev, trying: false, deep: true, sections: { ...sections, ...looked } });
      kept(page);
      tell(page, { tell: "ticks", ticks: state.ticks });
    },
    look: (page, { id, situation }) => {
      page.situation = situation;
      // As the desk does: before the hello nothing is told.
      if (!page.greeted) return;
      const loads = state.sections.loads.find((l) => l.situation === situation);
      tell(page, { tell: "study", rev: state.rev, answers: id, trying: trying !== null, deep: true, sections: loads ? { loads } : {} });
    },
    tick: (page, { id, list, name, said, on }) => {
      state.ticks = state.ticks.filter((t) => t.list !== list || t.name !== name);
      if (on) state.ticks.push({ list, name, said });
      tell(page, { tell: "study", rev: state.rev, answers: id, trying: false, deep: true, sections: {} });
      for (const p of pages) tell(p, { tell: "ticks", ticks: state.ticks });
    },
    edit: (page, ask) => {
      trying = null;
      if (state.refuse) return tell(page, { tell: "refused", answers: ask.id, why: state.refuse });
      const next = edited(state.sections.parts, ask.edits);
      if (!next) return tell(page, { tell: "refused", answers: ask.id, why: "There is no such part." });
      state.past.push({ words: ask.words, parts: state.sections.parts, findings: state.sections.findings });
      state.future = [];
      state.sections.parts = next;
      state.rev++;
      everyone({ parts: next }, ask.id, page);
    },
    try: (page, ask) => {
      trying = edited(state.sections.parts, ask.edits);
      if (trying) everyone({ parts: trying }, ask.id, page);
    },
    let_go: (page, ask) => {
      trying = null;
      everyone({ parts: state.sections.parts }, ask.id, page);
    },
    undo: (page, ask) => swap(state.past, state.future, page, ask),
    redo: (page, ask) => swap(state.future, state.past, page, ask),
    preview: (page, ask) => {
      const finding = state.sections.findings.find((f) => f.key === ask.finding);
      tell(page, {
        tell: "previewed", answers: ask.id, works: true, outcome: "It works, and nothing else comes.",
        gone: [finding?.title ?? ""], brings: [],
        changes: [{ file: "wiring.toml", before: ["size_mm2 = 1.5"], after: ["size_mm2 = 2.5"], line: 412 }],
      });
    },
    remedy: (page, ask) => {
      state.past.push({ words: "Apply a remedy", parts: state.sections.parts, findings: state.sections.findings });
      state.future = [];
      state.sections.findings = state.sections.findings.filter((f) => f.key !== ask.finding);
      state.rev++;
      everyone({ findings: state.sections.findings }, ask.id, page);
    },
  };
  function swap(from, to, page, ask) {
    const step = from.pop();
    if (!step) return tell(page, { tell: "refused", answers: ask.id, why: "There is nothing to take back." });
    to.push({ words: step.words, parts: state.sections.parts, findings: state.sections.findings });
    Object.assign(state.sections, { parts: step.parts, findings: step.findings });
    state.rev++;
    everyone({ parts: step.parts, findings: step.findings }, ask.id, page);
  }

  talk.on("connection", (page) => {
    pages.add(page);
    page.on("close", () => pages.delete(page));
    page.on("message", (text) => {
      const ask = JSON.parse(String(text));
      answer[ask.ask]?.(page, ask);
    });
  });
  await new Promise((done) => http.listen(port, "127.0.0.1", done));
  return {
    port: http.address().port,
    state,
    cut: () => pages.forEach((p) => p.terminate()),
    close: () => new Promise((done) => {
      pages.forEach((p) => p.terminate());
      http.close(done);
      http.closeAllConnections();
    }),
  };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const study = process.argv[2] ?? join(here, "fixtures", "study.json");
  const { port } = await serve(JSON.parse(await readFile(study, "utf8")), Number(process.argv[3] ?? 4177));
  console.log(`http://127.0.0.1:${port}/`);
}
