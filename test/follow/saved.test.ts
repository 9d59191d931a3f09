import { mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import express from "express";
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest";
import { followPages } from "../../server/http/follow.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import type { Snapshot } from "../../shared/session/wire.ts";
import { Desk } from "../scenario/desk.ts";

const pages = mkdtempSync(join(tmpdir(), "pourside-saved-"));
const http = createServer();
let now = 0;
let made = 0;
let snapshot: Snapshot | null = null;
let desk: Desk;

/** What viewers see after the next step of the session. */
function moveOn(): void {
  desk.advance();
  const { session, seq } = desk.state;
  snapshot = { session, seq, now, view: publicView(desk.state) };
}

beforeAll(async () => {
  mkdirSync(join(pages, "follow"));
  const app = express();
  const build = {
    drawPage: () => "",
    drawFile: () => {
      made += 1;
      return { body: `<p>File ${made}</p>`, held: "{}", linkedData: "{}" };
    },
    fileNameOf: (name: string) => name,
    template: "",
    style: "",
    script: "",
  };
  followPages(app, { snapshot: () => snapshot, clock: () => now, pages, build });
  http.on("request", app);
  await new Promise<void>((done) => http.listen(0, "127.0.0.1", done));
});

beforeEach(() => {
  // So late that nothing kept in the test before is young.
  now += 1_000_000;
  made = 0;
  desk = Desk.live();
  moveOn();
});

afterAll(() => {
  http.close();
  rmSync(pages, { recursive: true });
});

async function save(): Promise<string> {
  const { port } = http.address() as AddressInfo;
  const answer = await fetch(`http://127.0.0.1:${port}/follow/save`);
  expect([answer.status, answer.headers.get("content-encoding")]).toEqual([200, "gzip"]);
  return /File \d+/.exec(await answer.text())?.[0] ?? "";
}

test("the file is made once for all who take it while nothing changes", async () => {
  const taken = await Promise.all(Array.from({ length: 20 }, save));
  now += 3_600_000;
  expect(new Set([...taken, await save()])).toEqual(new Set(["File 1"]));
});

test("the file is made anew after a change, once a second at most", async () => {
  expect(await save()).toBe("File 1");
  moveOn();
  expect(await save()).toBe("File 1");
  now += 1_000;
  expect(await save()).toBe("File 2");
  expect(await save()).toBe("File 2");
});

test("the file of a session with a running timer is of this second", async () => {
  desk.until("s7");
  moveOn();
  expect(await save()).toBe("File 1");
  now += 1_000;
  expect(await save()).toBe("File 2");
});

test("the file of another session is never the one before it", async () => {
  expect(await save()).toBe("File 1");
  snapshot = snapshot && { ...snapshot, session: "another" };
  expect(await save()).toBe("File 2");
});
