import { createHash } from "node:crypto";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { request } from "node:http";
import { join } from "node:path";
import { crc32 } from "node:zlib";
import { imageDimensionsFromData } from "image-dimensions";
import { PNG } from "pngjs";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { plainPicture } from "../../server/picture/plain.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { jpegHead, turnedJpeg } from "../prepare/pictures.ts";
import { House } from "../server/house.ts";

const secret = "49.5811N 2.3412W";
const text = (word: string) => new TextEncoder().encode(word);
const has = (bytes: Uint8Array, word: string) => Buffer.from(bytes).includes(word);
const join8 = (...pieces: (Uint8Array | readonly number[])[]) =>
  Uint8Array.from(pieces.flatMap((piece) => [...piece]));

/** A JPEG segment of application data or a comment (ITU-T T.81, B.2.4). */
const segment = (marker: number, body: Uint8Array) =>
  join8([0xff, marker, (body.length + 2) >> 8, (body.length + 2) & 0xff], body);

/** A whole JPEG by its markers; its picture is never decoded here. */
function jpeg(...extra: Uint8Array[]): Uint8Array {
  const head = jpegHead(40, 30);
  const scan = [0x12, 0xff, 0x00, 0x34, 0xff, 0xd0, 0x56];
  return join8(head.slice(0, 2), ...extra, head.slice(2), scan, [0xff, 0xd9]);
}

/** A PNG chunk with its checksum (ISO/IEC 15948, 5.3). */
function chunk(kind: string, body: Uint8Array): Uint8Array {
  const whole = Buffer.alloc(12 + body.length);
  whole.writeUInt32BE(body.length, 0);
  whole.write(kind, 4, "latin1");
  whole.set(body, 8);
  whole.writeUInt32BE(crc32(whole.subarray(4, 8 + body.length)), 8 + body.length);
  return whole;
}

function png(...extra: Uint8Array[]): Uint8Array {
  const drawn = new PNG({ width: 40, height: 30 });
  drawn.data.fill(0x7a);
  const bytes = PNG.sync.write(drawn);
  const end = bytes.length - 12;
  return join8(bytes.subarray(0, end), ...extra, bytes.subarray(end));
}

/** A RIFF chunk (RFC 9649, 2.3). */
function riff(kind: string, body: Uint8Array): Uint8Array {
  const size = Buffer.alloc(4);
  size.writeUInt32LE(body.length);
  return join8(text(kind), size, body, body.length % 2 === 1 ? [0] : []);
}

/** A lossless WebP of 40 by 30 px in the extended form, said to have Exif and XMP. */
function webp(...extra: Uint8Array[]): Uint8Array {
  const extended = Uint8Array.of(0x0c, 0, 0, 0, 39, 0, 0, 29, 0, 0);
  // Signature, then 14 bits each of width and height less one (RFC 9649, 3.4).
  const bits = 39 | (29 << 14);
  const lossless = Uint8Array.of(
    0x2f,
    bits & 255,
    (bits >> 8) & 255,
    (bits >> 16) & 255,
    bits >> 24,
  );
  const body = join8(text("WEBP"), riff("VP8X", extended), riff("VP8L", lossless), ...extra);
  const size = Buffer.alloc(4);
  size.writeUInt32LE(body.length);
  return join8(text("RIFF"), size, body);
}

const plain = (bytes: Uint8Array) => {
  const picture = plainPicture(bytes);
  if (refused(picture)) throw new Error(picture.say);
  return picture.bytes;
};

describe("what is kept of a picture", () => {
  const located: Readonly<Record<string, Uint8Array>> = {
    "a JPEG with Exif": jpeg(segment(0xe1, join8(text("Exif\0\0"), text(secret)))),
    "a JPEG with XMP": jpeg(segment(0xe1, text(`http://ns.adobe.com/xap/1.0/\0${secret}`))),
    "a JPEG with IPTC": jpeg(segment(0xed, text(`Photoshop 3.0\0${secret}`))),
    "a JPEG with a comment": jpeg(segment(0xfe, text(secret))),
    "a JPEG with a second picture behind it": join8(jpeg(), jpeg(segment(0xe1, text(secret)))),
    "a PNG with Exif": png(chunk("eXIf", text(secret))),
    "a PNG with text": png(chunk("tEXt", text(`Location\0${secret}`))),
    "a PNG with international text": png(chunk("iTXt", text(secret))),
    "a PNG with something of its own": png(chunk("gpSx", text(secret))),
    "a PNG with something behind its end": join8(png(), text(secret)),
    "a WebP with Exif": webp(riff("EXIF", text(secret))),
    "a WebP with XMP": webp(riff("XMP ", text(`${secret}.`))),
    "a WebP with something behind its end": join8(webp(), text(secret)),
  };

  test.each(Object.entries(located))("of %s is no place", (_, bytes) => {
    expect(has(bytes, secret)).toBe(true);
    const bare = plain(bytes);
    expect(has(bare, secret)).toBe(false);
    expect(imageDimensionsFromData(bare)).toMatchObject({ width: 40, height: 30 });
    // Nothing more is found in what was already made plain.
    expect(plain(bare)).toEqual(bare);
  });

  test("is every pixel of a PNG, and the data of a JPEG's scans", () => {
    const whole = png(chunk("tEXt", text(`Location\0${secret}`)));
    expect(PNG.sync.read(Buffer.from(plain(whole))).data).toEqual(
      PNG.sync.read(Buffer.from(whole)).data,
    );
    expect(plain(jpeg(segment(0xe1, text("Exif\0\0"))))).toEqual(jpeg());
    const profile = segment(0xe2, text("ICC_PROFILE\0\u0001\u0001profile"));
    const adobe = segment(0xee, join8(text("Adobe"), [0, 100, 0, 0, 0, 0, 1]));
    expect(plain(jpeg(profile, adobe))).toEqual(jpeg(profile, adobe));
  });

  test("of a WebP no longer says that there are Exif and XMP", () => {
    const bare = plain(webp(riff("EXIF", text(secret))));
    expect(bare[20]).toBe(0);
    expect(new DataView(bare.buffer, bare.byteOffset).getUint32(4, true)).toBe(bare.length - 8);
  });

  test("is nothing where it is broken, moves, is of another kind, or is too large", () => {
    const codeOf = (bytes: Uint8Array) => {
      const picture = plainPicture(bytes);
      return refused(picture) ? picture.code : "kept";
    };
    const broken = png();
    broken[broken.length - 20] = (broken[broken.length - 20] ?? 0) ^ 1;
    expect(codeOf(broken)).toBe("picture.none");
    expect(codeOf(jpeg().slice(0, -4))).toBe("picture.none");
    expect(codeOf(webp().slice(0, -3))).toBe("picture.none");
    expect(codeOf(webp(riff("VP8L", Uint8Array.of(0x2f, 0, 0, 0, 0))))).toBe("picture.none");
    const gif = join8(text("GIF89a"), [40, 0, 30, 0], new Uint8Array(20));
    expect(codeOf(gif)).toBe("picture.kind");
    expect(codeOf(jpegHead(9_000, 9_000))).toBe("picture.tooLarge");
    expect(codeOf(new Uint8Array())).toBe("picture.none");
  });
});

describe("photographs over HTTP", () => {
  let house: House;
  let token: string;
  beforeAll(async () => {
    house = await House.start();
    token = await house.pair();
  });
  afterAll(() => house.close());

  const send = async (bytes: Uint8Array, { type = "image/jpeg", paired = true } = {}) => {
    const response = await fetch(`${house.address}/api/photographs`, {
      method: "POST",
      headers: {
        "Content-Type": type,
        ...(paired ? { Authorization: `Bearer ${token}` } : {}),
      },
      body: Buffer.from(bytes),
    });
    return { status: response.status, body: (await response.json()) as Record<string, unknown> };
  };
  const fetched = (digest: string, given: string | null = token) =>
    fetch(`${house.address}/api/photographs/${digest}`, {
      headers: given === null ? {} : { Authorization: `Bearer ${given}` },
    });
  const kept = () => {
    try {
      return readdirSync(join(house.data, "photographs"));
    } catch {
      return [];
    }
  };

  test("are kept without their place, once, and given to paired tablets alone", async () => {
    const picture = jpeg(segment(0xe1, join8(text("Exif\0\0"), text(secret))));
    const { status, body } = await send(picture);
    expect([status, body.kind, body.width, body.height]).toEqual([201, "jpeg", 40, 30]);
    const digest = String(body.photograph);
    expect(digest).toBe(createHash("sha256").update(jpeg()).digest("hex"));
    expect((await send(turnedJpeg(jpeg(), 6))).body.photograph).toBe(digest);
    expect(kept()).toEqual([`${digest}.jpeg`]);
    const file = readFileSync(join(house.data, "photographs", `${digest}.jpeg`));
    expect(has(file, secret)).toBe(false);
    const back = await fetched(digest);
    expect([back.status, back.headers.get("content-type")]).toEqual([200, "image/jpeg"]);
    expect(back.headers.get("x-content-type-options")).toBe("nosniff");
    expect(new Uint8Array(await back.arrayBuffer())).toEqual(jpeg());
    expect((await fetched(digest, null)).status).toBe(401);
    expect((await send(jpeg(), { paired: false })).status).toBe(401);
    expect((await fetched("..%2Frecord.db")).status).toBe(404);
    expect((await fetched("a".repeat(64))).status).toBe(404);
  });

  test("are taken for what they are, not for what they are called", async () => {
    expect((await send(png(), { type: "application/octet-stream" })).body.kind).toBe("png");
    const before = kept();
    const program = join8([0x4d, 0x5a, 0x90, 0], text("This program cannot be run in DOS mode."));
    const elf = join8([0x7f], text("ELF"), new Uint8Array(200));
    for (const bytes of [program, elf, text("<svg onload='alert(1)'>"), new Uint8Array()]) {
      const { status, body } = await send(bytes);
      expect(status).toBe(415);
      expect(body).toEqual({
        code: "picture.none",
        say: "This is not a picture that can be read, whatever its name says. Choose a JPEG, PNG or WebP.",
      });
    }
    // The beginning of a picture does not make a program one.
    expect((await send(join8(jpegHead(40, 30).slice(0, 20), program))).status).toBe(415);
    expect(kept()).toEqual(before);
  });

  test("of 80 MB are refused with a sentence before they are sent", async () => {
    const before = kept();
    const [status, said] = await new Promise<[number, string]>((resolve, reject) => {
      const { hostname, port } = new URL(house.address);
      const asked = request({
        hostname,
        port,
        method: "POST",
        path: "/api/photographs",
        headers: { Authorization: `Bearer ${token}`, "Content-Length": 80_000_000 },
      });
      asked.on("response", (response) => {
        response.setEncoding("utf8");
        let body = "";
        response.on("data", (piece: string) => {
          body += piece;
        });
        response.on("end", () => {
          resolve([response.statusCode ?? 0, body]);
          asked.destroy();
        });
      });
      asked.on("error", reject);
      // Only the head goes out: the answer cannot have waited for the rest.
      asked.flushHeaders();
    });
    expect(status).toBe(413);
    expect(JSON.parse(said)).toEqual({
      code: "tooLarge",
      say: "This photograph is larger than 30\u202fMB. Save it smaller, and try again.",
    });
    expect(kept()).toEqual(before);
  });

  test("that do not say how long they are, are refused once they are too long", async () => {
    const piece = new Uint8Array(1_000_000);
    let sent = 0;
    const body = new ReadableStream<Uint8Array>({
      pull(controller) {
        sent += 1;
        if (sent > 80) controller.close();
        else controller.enqueue(piece);
      },
    });
    const response = await fetch(`${house.address}/api/photographs`, {
      method: "POST",
      headers: { Authorization: `Bearer ${token}` },
      body,
      duplex: "half",
    } as RequestInit);
    expect(response.status).toBe(413);
    expect(((await response.json()) as { code: string }).code).toBe("tooLarge");
  });

  test("that were changed on disk are no longer given out", async () => {
    const { body } = await send(png(chunk("gAMA", Uint8Array.of(0, 0, 0xb1, 0x8f))));
    const digest = String(body.photograph);
    writeFileSync(join(house.data, "photographs", `${digest}.png`), png());
    expect((await fetched(digest)).status).toBe(404);
  });

  test("that were changed on disk are kept anew when they are sent again", async () => {
    const { body } = await send(jpeg());
    const digest = String(body.photograph);
    writeFileSync(join(house.data, "photographs", `${digest}.jpeg`), jpeg().slice(0, -9));
    expect((await fetched(digest)).status).toBe(404);
    expect((await send(jpeg())).body.photograph).toBe(digest);
    const back = await fetched(digest);
    expect(new Uint8Array(await back.arrayBuffer())).toEqual(jpeg());
  });
});
