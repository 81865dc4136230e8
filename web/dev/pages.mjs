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

/**
 * `made` answers what the pages do not hold: /picture/…, /paper/… and unknown addresses. `first` may keep the first page
 * from who asks: then it has answered, and resolves to false.
 */
export function pagesServer({ made, first = async () => true }) {
  return createServer(async (req, res) => {
    const path = normalize(new URL(req.url, "http://x").pathname);
    try {
      if (path === "/" && !(await first(req, res))) return;
      const file = join(dist, path === "/" ? "index.html" : path);
      const body = await readFile(file);
      res.writeHead(200, { "content-type": KINDS[extname(file)] ?? "application/octet-stream", "content-security-policy": RULES });
      res.end(req.method === "HEAD" ? undefined : body);
    } catch {
      await made(req, res);
    }
  });
}
