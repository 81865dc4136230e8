// Pages from dist/ before a real desk, for a program that was built without them:
//
//   node dev/proxy.mjs 'http://127.0.0.1:PORT/?key=…' [port]

import { fileURLToPath } from "node:url";
import { WebSocket, WebSocketServer } from "ws";
import { pagesServer } from "./pages.mjs";

/** Serves the pages and passes /talk on to the desk at `address`. Resolves to { port, close, cut }. */
export async function proxy(address, port = 0) {
  const desk = new URL(address);
  const welcome = await fetch(address, { redirect: "manual" });
  const cookie = welcome.headers.get("set-cookie")?.split(";")[0];
  if (!cookie) throw new Error(`the desk at ${desk.host} gave no cookie`);
  const http = pagesServer(async (req, res) => {
    let answer, body;
    try {
      answer = await fetch(new URL(req.url, desk), { headers: { cookie } });
      body = Buffer.from(await answer.arrayBuffer());
    } catch {
      // The desk has ended.
      return res.destroy();
    }
    const kept = ["content-type", "content-disposition"].flatMap((n) => (answer.headers.has(n) ? [[n, answer.headers.get(n)]] : []));
    res.writeHead(answer.status, { ...Object.fromEntries(kept), "content-length": body.length }).end(body);
  });
  const front = new WebSocketServer({ server: http, path: "/talk" });
  const pages = new Set();
  front.on("connection", (page) => {
    pages.add(page);
    const back = new WebSocket(`ws://${desk.host}/talk`, { headers: { cookie, origin: desk.origin } });
    const early = [];
    page.on("message", (text) => (back.readyState === WebSocket.OPEN ? back.send(String(text)) : early.push(String(text))));
    back.on("open", () => early.splice(0).forEach((text) => back.send(text)));
    back.on("message", (text) => page.send(String(text)));
    back.on("close", () => page.terminate());
    back.on("error", () => page.terminate());
    page.on("close", () => {
      pages.delete(page);
      back.terminate();
    });
  });
  await new Promise((done) => http.listen(port, "127.0.0.1", done));
  return {
    port: http.address().port,
    cut: () => pages.forEach((p) => p.terminate()),
    close: () => new Promise((done) => {
      pages.forEach((p) => p.terminate());
      http.close(done);
      http.closeAllConnections();
    }),
  };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { port } = await proxy(process.argv[2], Number(process.argv[3] ?? 4177));
  console.log(`http://127.0.0.1:${port}/`);
}
