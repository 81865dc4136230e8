// A screenshot with few colours, as a drawing has: a third of the size, and the same to the eye.

import { deflateSync } from "node:zlib";

/** The picture with at most 256 colours, as PNG. `page` is any page of a browser, which reads the screenshot. */
export async function fewColours(page, png) {
  const { width, height, indices, palette } = await page.evaluate(reduce, png.toString("base64"));
  const bytes = Buffer.from(indices, "base64");
  const rows = Buffer.alloc((width + 1) * height);
  for (let y = 0; y < height; y++) bytes.copy(rows, y * (width + 1) + 1, y * width, (y + 1) * width);
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  // Eight bits to a dot, into a palette.
  head.set([8, 3, 0, 0, 0], 8);
  return Buffer.concat([
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
    chunk("IHDR", head), chunk("PLTE", Buffer.from(palette)), chunk("IDAT", deflateSync(rows, { level: 9 })), chunk("IEND", Buffer.alloc(0)),
  ]);
}

function chunk(name, data) {
  const body = Buffer.concat([Buffer.from(name, "latin1"), data]);
  const out = Buffer.alloc(body.length + 8);
  out.writeUInt32BE(data.length, 0);
  body.copy(out, 4);
  out.writeUInt32BE(crc(body), body.length + 4);
  return out;
}

/** The check sum of PNG: RFC 2083, section 15. */
function crc(bytes) {
  let c = 0xffffffff;
  for (const b of bytes) {
    c ^= b;
    for (let k = 0; k < 8; k++) c = c & 1 ? (c >>> 1) ^ 0xedb88320 : c >>> 1;
  }
  return (c ^ 0xffffffff) >>> 0;
}

/** Runs in the page: the commonest colours, and each dot's nearest of them. */
async function reduce(base64) {
  const raw = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
  const picture = await createImageBitmap(new Blob([raw], { type: "image/png" }));
  const { width, height } = picture;
  const pen = new OffscreenCanvas(width, height).getContext("2d");
  pen.drawImage(picture, 0, 0);
  const { data } = pen.getImageData(0, 0, width, height);
  const bucket = (i) => ((data[i] >> 3) << 10) | ((data[i + 1] >> 3) << 5) | (data[i + 2] >> 3);
  const all = new Map();
  for (let i = 0; i < data.length; i += 4) {
    const b = all.get(bucket(i)) ?? [0, 0, 0, 0];
    b[0]++;
    for (let c = 0; c < 3; c++) b[c + 1] += data[i + c];
    all.set(bucket(i), b);
  }
  const apart = (a, b) => (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2;
  const left = [...all].sort((a, b) => b[1][0] - a[1][0] || a[0] - b[0])
    .map(([, [n, r, g, b]]) => ({ n, colour: [Math.round(r / n), Math.round(g / n), Math.round(b / n)], far: Infinity }));
  const common = [];
  // Each next colour is the one that is missed most: by many dots, or by a lot.
  while (common.length < 160 && left.length > 0) {
    const most = left.reduce((best, c, k) => (c.n * c.far > left[best].n * left[best].far ? k : best), 0);
    const [{ colour }] = left.splice(most, 1);
    common.push(colour);
    for (const c of left) c.far = Math.min(c.far, apart(c.colour, colour));
  }
  const nearest = new Map();
  const indices = new Uint8Array(width * height);
  for (let i = 0; i < data.length; i += 4) {
    const b = bucket(i);
    let at = nearest.get(b);
    if (at === undefined) {
      const here = [data[i], data[i + 1], data[i + 2]];
      at = common.reduce((best, c, k) => (apart(c, here) < apart(common[best], here) ? k : best), 0);
      nearest.set(b, at);
    }
    indices[i / 4] = at;
  }
  let text = "";
  for (const i of indices) text += String.fromCharCode(i);
  return { width, height, indices: btoa(text), palette: common.flat() };
}
