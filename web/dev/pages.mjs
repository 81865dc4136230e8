// The built pages over HTTP, under the same rules as the desk sets.

import { readFile } from "node:fs/promises";
import { createServer } from "node:http";
import { extname, join, normalize } from "node:path";
import { fileURLToPath } from "node:url";

const dist = fileURLToPath(new URL("../dist", import.meta.url));
const KINDS = {
  ".html": "text/html; charset=utf-8", ".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml",
  ".woff2": "font/woff2", ".woff": "font/woff",
};
const RULES = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
  + "font-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/** `made` answers what is made on the spot: /picture/… and /paper/…. */
export function pagesServer(made) {
  return createServer(async (req, res) => {
    if (/^\/(?:picture|paper)\//u.test(req.url)) return made(req, res);
    const path = normalize(new URL(req.url, "http://x").pathname);
    const file = join(dist, path === "/" ? "index.html" : path);
    try {
      const body = await readFile(file);
      res.writeHead(200, { "content-type": KINDS[extname(file)] ?? "application/octet-stream", "content-security-policy": RULES });
      res.end(body);
    } catch {
      res.writeHead(404).end("not here");
    }
  });
}
