import { readdirSync, readFileSync } from "node:fs";
import { extname, join } from "node:path";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";
import type { Request, RequestHandler, Response } from "express";

/** A text as it is sent: packed the two ways that browsers take, and plain. */
export type Packed = { plain: Buffer; br: Buffer; gzip: Buffer };

/** Packs a text; `best` takes its time, for what is packed once. */
export function pack(text: string | Buffer, how: "quick" | "best"): Packed {
  const plain = Buffer.from(text);
  const quality = how === "best" ? 11 : 7;
  const br = brotliCompressSync(plain, {
    params: {
      [constants.BROTLI_PARAM_QUALITY]: quality,
      [constants.BROTLI_PARAM_SIZE_HINT]: plain.length,
    },
  });
  return { plain, br, gzip: gzipSync(plain, { level: how === "best" ? 9 : 6 }) };
}

/** Sends a text in the best way that was asked for. */
export function sendPacked(request: Request, response: Response, packed: Packed): void {
  response.vary("Accept-Encoding");
  const way = request.acceptsEncodings("br", "gzip", "identity");
  if (way === "br" || way === "gzip") {
    response.set("Content-Encoding", way).send(packed[way]);
  } else {
    response.send(packed.plain);
  }
}

const texts: Readonly<Record<string, string>> = { ".js": "text/javascript", ".css": "text/css" };

/** Scripts and styles of a folder, packed when they are first asked for and kept so. */
export function packedFiles(folder: string): RequestHandler {
  // Only what is there now is ever read, whatever is asked for.
  const names = new Set(readdirSync(folder).filter((name) => extname(name) in texts));
  const kept = new Map<string, Packed>();
  return (request, response, next) => {
    const name = request.path.slice(1);
    if (request.method !== "GET" || !names.has(name)) {
      next();
      return;
    }
    const packed = kept.get(name) ?? pack(readFileSync(join(folder, name)), "best");
    kept.set(name, packed);
    // File names carry a digest of their content.
    response.set("Cache-Control", "public, max-age=31536000, immutable");
    response.type(texts[extname(name)] ?? "");
    sendPacked(request, response, packed);
  };
}
