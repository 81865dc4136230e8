// Pages from dist/ before a real desk, for a program that was built without them:
//
//   node dev/proxy.mjs 'http://127.0.0.1:PORT/?key=…' [port]

import { fileURLToPath } from "node:url";
import { WebSocket, WebSocketServer } from "ws";
import { pagesServer } from "./pages.mjs";

/**
 * Serves the pages and passes everything else on to the desk at `address`, with the browser's own key: the desk
 * lets in or turns away as it would without us. Resolves to { port, close, cut }.
 */
export async function proxy(address, port = 0) {
  const desk = new URL(address);
  const http = pagesServer({
    made: passOn,
    // Whoever the desk lets see its first page gets ours, and whoever it tells that it was built without (503).
    first: async (req, res) => {
      const answer = await ask(req);
      if (answer?.status === 200 || answer?.status === 503) return true;
      await pass(answer, res);
      return false;
    },
  });
  const ask = (req) => fetch(new URL(req.url, desk), {
    method: req.method, headers: req.headers.cookie ? { cookie: req.headers.cookie } : {}, redirect: "manual",
  }).catch(() => null);
  async function passOn(req, res) {
    await pass(await ask(req), res);
  }
  async function pass(answer, res) {
    // The desk has ended.
    const body = answer ? await answer.arrayBuffer().catch(() => null) : null;
    if (!body) return res.destroy();
    const kept = ["content-type", "content-disposition", "content-security-policy", "location", "set-cookie"]
      .flatMap((n) => (answer.headers.has(n) ? [[n, answer.headers.get(n)]] : []));
    res.writeHead(answer.status, { ...Object.fromEntries(kept), "content-length": body.byteLength }).end(Buffer.from(body));
  }
  const front = new WebSocketServer({ noServer: true });
  const pages = new Set();
  http.on("upgrade", (req, socket, head) => {
    const back = new WebSocket(`ws://${desk.host}/talk`, { headers: { cookie: req.headers.cookie ?? "", origin: desk.origin } });
    const early = [];
    back.on("message", (text) => early.push(String(text)));
    back.on("error", () => socket.destroy());
    back.on("open", () => front.handleUpgrade(req, socket, head, (page) => {
      pages.add(page);
      back.removeAllListeners("message").removeAllListeners("error");
      early.splice(0).forEach((text) => page.send(text));
      page.on("message", (text) => back.send(String(text)));
      back.on("message", (text) => page.send(String(text)));
      back.on("close", () => page.terminate());
      back.on("error", () => page.terminate());
      page.on("close", () => {
        pages.delete(page);
        back.terminate();
      });
    }));
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
  const address = new URL(process.argv[2]);
  const { port } = await proxy(address.href, Number(process.argv[3] ?? 4177));
  console.log(`http://127.0.0.1:${port}/${address.search}`);
}
