import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import { afterAll, beforeAll, expect, it, vi } from "vitest";
import { WebSocket } from "ws";
import type { Held } from "../../overlay/live/held.ts";
import { listen } from "../../overlay/live/listen.ts";
import { type RunningRelay, startRelay } from "../../server/relay/relay.ts";
import type { Command } from "../../shared/session/command.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import { pourOf } from "../scenario/desk.ts";
import { type BenchClient, foldOf, type House, liveHouse, pause } from "../server/house.ts";
import { Pipe } from "./pipe.ts";

const key = "a-key-of-the-property-test";
const drop: Command = { type: "pour", pour: pourOf("saltmarsh", 1000) };
/** Within this the page is right after any break, ms. */
const rightMs = 5_000;

let house: House;
let token: string;
let bench: BenchClient;
let relay: RunningRelay;
let data: string;
/** Between page and relay, and between bench and relay. */
let pageWay: Pipe;
let benchWay: Pipe;

beforeAll(async () => {
  data = mkdtempSync(join(tmpdir(), "pourside-relay-"));
  relay = await open(0);
  const toRelay = () => [relay.port];
  pageWay = await Pipe.open(toRelay);
  benchWay = await Pipe.open(toRelay);
  ({ house, token, bench } = await liveHouse());
  await house.ask("POST", "/api/relay", { token, body: { address: benchWay.address, key } });
  standIn(pageWay.address);
}, 60_000);

afterAll(async () => {
  vi.unstubAllGlobals();
  pageWay?.close();
  benchWay?.close();
  await house?.close();
  await relay?.close();
  rmSync(data, { recursive: true, force: true });
});

function open(port: number): Promise<RunningRelay> {
  return startRelay({ port, host: "127.0.0.1", data, pages: join(data, "none"), key });
}

/** What the page's own script needs of a browser. */
function standIn(address: string): void {
  class PageSocket extends WebSocket {
    constructor(url: string) {
      super(url);
      // A browser tells a page of an error by the close alone.
      this.on("error", () => {});
    }
  }
  const ask = globalThis.fetch;
  vi.stubGlobal("WebSocket", PageSocket);
  vi.stubGlobal("location", new URL(address));
  vi.stubGlobal("window", new EventTarget());
  vi.stubGlobal("document", Object.assign(new EventTarget(), { visibilityState: "visible" }));
  vi.stubGlobal("fetch", (url: string, init?: RequestInit) =>
    ask(url.startsWith("/") ? address + url : url, init),
  );
}

const steps = {
  pour: async () => {
    await bench.must(drop);
  },
  "the page's line breaks": async () => pageWay.cut(),
  "the bench's line breaks": async () => benchWay.cut(),
  "the relay starts anew": async () => {
    const { port } = relay;
    await relay.close();
    relay = await open(port);
  },
  "the bench starts anew": async () => {
    await house.restart();
    bench = await house.benchClient(token);
  },
  "some time passes": () => pause(120),
};
type Step = keyof typeof steps;

it("whatever breaks on the way, a page sees every state in order and is right again within 5 s", async () => {
  const breaks: Step[] = [
    "the page's line breaks",
    "the bench's line breaks",
    "the relay starts anew",
    "the bench starts anew",
  ];
  const step = fc.oneof(
    { weight: 3, arbitrary: fc.constant<Step>("pour") },
    { weight: 2, arbitrary: fc.constantFrom(...breaks) },
    { weight: 1, arbitrary: fc.constant<Step>("some time passes") },
  );
  // Each place breaks at least once in every run.
  const way = fc
    .tuple(
      fc.shuffledSubarray(breaks, { minLength: breaks.length }),
      fc.array(step, { maxLength: 8 }),
    )
    .map(([sure, more]) => [...sure.flatMap((one): Step[] => [one, "pour"]), ...more]);
  await fc.assert(
    fc.asyncProperty(way, async (taken) => {
      const seen: Held[] = [];
      const page = listen({ onView: (held) => seen.push(held) });
      try {
        for (const one of taken) await steps[one]();
        const seq = await bench.must(drop);
        const from = performance.now();
        while (seen.at(-1)?.seq !== seq && performance.now() - from < rightMs) await pause(10);
        expect(seen.at(-1)?.seq).toBe(seq);
        seen.forEach(({ session, seq, view }, at) => {
          expect(seq).toBeGreaterThan(seen[at - 1]?.seq ?? 0);
          expect(view).toEqual(publicView(foldOf(house.running, session, seq)));
        });
      } finally {
        page.close();
      }
    }),
    { numRuns: 4, endOnFailure: true },
  );
}, 120_000);
