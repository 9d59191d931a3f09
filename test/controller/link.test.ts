import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { type Socket, Server as SocketServer } from "socket.io";
import { afterEach, describe, expect, test, vi } from "vitest";
import { offsetOf } from "../../controller/link/clock.ts";
import { againMs, createLink, type Link, type LinkValue } from "../../controller/link/link.ts";
import { namedIds, Queue, type Store } from "../../controller/link/queue.ts";
import demonstration from "../../server/session/harbour-at-dusk.json" with { type: "json" };
import type { Command, Envelope, PourWish } from "../../shared/session/command.ts";
import { decide } from "../../shared/session/decide.ts";
import type { RecordedEvent, SessionEvent } from "../../shared/session/event.ts";
import { openSheet } from "../../shared/session/sheet.ts";
import { currentStep, fold, type State, step } from "../../shared/session/state.ts";
import type { Answer } from "../../shared/session/wire.ts";
import { TestServer } from "./server.ts";

const servers: TestServer[] = [];
const links: Link[] = [];
const fakes: SocketServer[] = [];

afterEach(async () => {
  for (const link of links.splice(0)) link.close();
  for (const server of servers.splice(0)) await server.end();
  for (const io of fakes.splice(0)) await io.close();
});

class MemoryStore implements Store {
  readonly items = new Map<string, string>();
  full = false;
  get length() {
    return this.items.size;
  }
  key(index: number) {
    return [...this.items.keys()][index] ?? null;
  }
  getItem(key: string) {
    return this.items.get(key) ?? null;
  }
  setItem(key: string, value: string) {
    if (this.full) throw new DOMException("full", "QuotaExceededError");
    this.items.set(key, value);
  }
  removeItem(key: string) {
    this.items.delete(key);
  }
}

async function begin(): Promise<TestServer> {
  const server = await TestServer.begin();
  servers.push(server);
  return server;
}

function join(server: TestServer, token: string, storage: Store | null = new MemoryStore()): Link {
  const link = createLink({ token, storage, socketUrl: server.address });
  links.push(link);
  return link;
}

async function until(link: Link, holds: (value: LinkValue) => boolean, ms = 8_000): Promise<void> {
  if (holds(link.value())) return;
  await new Promise<void>((resolve, reject) => {
    const timer = setTimeout(() => {
      end();
      reject(new Error(`It never came to be: ${holds}`));
    }, ms);
    const end = link.subscribe(() => {
      if (!holds(link.value())) return;
      clearTimeout(timer);
      end();
      resolve();
    });
  });
}

function stateOf(link: Link): State {
  const { state } = link.value();
  if (!state) throw new Error("There is no state yet.");
  return state;
}

function currentId(link: Link): string {
  const step = currentStep(stateOf(link));
  if (!step) throw new Error("No step is current.");
  return step.id;
}

/** Waits so long that a press is no bounce of the one before. */
const calm = () => new Promise((resolve) => setTimeout(resolve, 410));

function unplanned(volumeUl: number) {
  return {
    type: "pour" as const,
    pour: {
      source: {
        from: "vessel" as const,
        vessel: "saltmarsh",
        amount: { how: "measured" as const, volumeUl, plusMinusUl: 0 },
      },
      pan: "B",
      technique: "immersion" as const,
      coverage: 1,
    },
  };
}

function unplannedTo() {
  return { kind: "pour" as const, pour: unplanned(1_000).pour };
}

function volumeIn(source: PourWish["source"]): number {
  return source.from === "vessel" ? source.amount.volumeUl : 0;
}

function volumeOf({ command }: Envelope): number {
  return command.type === "pour" ? volumeIn(command.pour.source) : 0;
}

function opened(): State {
  const sheet = openSheet(demonstration);
  if (!sheet.ok) throw new Error("The demonstration session cannot be read.");
  return fold("s", [{ seq: 1, at: 1, serverAt: 1, event: { type: "opened", setup: sheet.setup } }]);
}

function liveState(): State {
  return step(opened(), { seq: 2, at: 2, serverAt: 2, event: { type: "wentLive" } });
}

/** What a server makes of a command that it takes. */
function taken(state: State, { at, command }: Envelope) {
  const decision = decide(state, command, at);
  if (!decision.ok) throw new Error(decision.say);
  const events = decision.events.map((event, i) => ({
    seq: state.seq + 1 + i,
    at,
    serverAt: at,
    event,
  }));
  return { state: events.reduce(step, state), events };
}

/** A bench whose every answer the test gives. */
async function fakeBench(speak: (socket: Socket) => void) {
  const http = createServer();
  const io = new SocketServer(http);
  io.of("/bench").on("connection", speak);
  await new Promise<void>((resolve) => http.listen(0, "127.0.0.1", resolve));
  fakes.push(io);
  const { port } = http.address() as AddressInfo;
  return {
    join(storage: Store | null): Link {
      const link = createLink({ token: "t", storage, socketUrl: `http://127.0.0.1:${port}` });
      links.push(link);
      return link;
    },
  };
}

async function live(server: TestServer, storage?: Store): Promise<Link> {
  const link = join(server, await server.pair(), storage);
  await until(link, ({ state }) => state !== null);
  await link.value().send({ type: "goLive" });
  return link;
}

/** Volumes of the pours in the record on disk, in order. */
function poursOnDisk(server: TestServer, session: string): number[] {
  return stateOnDisk(server, session).bench.poured.map(({ pour }) =>
    pour.source.from === "vessel" ? pour.source.amount.volumeUl : 0,
  );
}

function stateOnDisk(server: TestServer, session: string): State {
  const events: RecordedEvent[] = server.record
    .events(session)
    .map(({ seq, at, serverAt, body }) => ({ seq, at, serverAt, event: body as SessionEvent }));
  return fold(session, events);
}

describe("a tablet that is connected", () => {
  test("shows a tap before the server answers, and then what the server says", async () => {
    const server = await begin();
    const link = await live(server);
    const seq = stateOf(link).seq;
    const answer = link.value().send(unplanned(12_000));
    expect(stateOf(link).bench.poured).toHaveLength(1);
    expect(link.value().confirmed?.bench.poured).toHaveLength(0);
    expect(link.value().queued).toBe(1);
    expect(await answer).toEqual({ ok: true, session: stateOf(link).session, seq: seq + 1 });
    await until(link, ({ confirmed }) => confirmed?.seq === seq + 1);
    expect(link.value().queued).toBe(0);
    expect(link.value().state).toEqual(link.value().confirmed);
    expect(link.value().word?.say).toBe("poured: 12\u202fmL Saltmarsh 1\u202f% into pan B");
  });

  test("never shows a pour twice or not at all while its answer and its event are on the way", async () => {
    const server = await begin();
    const link = await live(server);
    const seen: number[] = [];
    link.subscribe(() => seen.push(stateOf(link).bench.poured.length));
    for (let i = 1; i <= 20; i++) {
      await link.value().send(unplanned(100));
    }
    await until(link, ({ confirmed }) => confirmed?.bench.poured.length === 20);
    expect(seen.every((count, i) => i === 0 || count >= (seen[i - 1] ?? 0))).toBe(true);
    expect(Math.max(...seen)).toBe(20);
  });

  test("says in words what an undo took back", async () => {
    const server = await begin();
    const link = await live(server);
    await link.value().send(unplanned(12_000));
    const last = stateOf(link).acts.at(-1);
    await link.value().send({ type: "undo", expect: last?.seq ?? 0 });
    expect(link.value().word).toMatchObject({
      tone: "done",
      say: "undid: 12\u202fmL Saltmarsh 1\u202f% into pan B",
    });
    expect(stateOf(link).bench.poured).toHaveLength(0);
  });

  test("says a bounced press quietly and counts it once", async () => {
    const server = await begin();
    const link = await live(server);
    await calm();
    await link.value().send({ type: "advance", expect: currentId(link) });
    const second = await link.value().send({ type: "advance", expect: currentId(link) });
    expect(second).toMatchObject({ ok: false, code: "bounce" });
    expect(link.value().word?.tone).toBe("quiet");
    expect(stateOf(link).acts).toHaveLength(1);
  });

  test("stamps a tap with the server's clock though its own is two hours off", async () => {
    const aheadMs = 7_200_000;
    const envelopes: Envelope[] = [];
    let trips = 0;
    let answered = 0;
    const bench = await fakeBench((socket) => {
      socket.emit("state", { state: opened(), now: 5 });
      socket.on("clock", (answer: (now: number) => void) => {
        // Only the second trip is quick, and only its middle is near the truth.
        trips += 1;
        const now = Date.now() + aheadMs;
        setTimeout(
          () => {
            answer(now);
            answered += 1;
          },
          trips === 2 ? 0 : 600,
        );
      });
      socket.on("command", (envelope: Envelope, answer: (answer: Answer) => void) => {
        envelopes.push(envelope);
        answer({ ok: true, session: "s", seq: 2 });
      });
    });
    const link = bench.join(null);
    await vi.waitFor(() => expect(answered).toBe(5), 20_000);
    await calm();
    const before = Date.now();
    await link.value().send({ type: "goLive" });
    expect(envelopes[0]?.at).toBeGreaterThan(before + aheadMs - 250);
    expect(envelopes[0]?.at).toBeLessThan(before + aheadMs + 250);
  });
});

describe("a tablet whose server cannot write", () => {
  test("keeps the tap at the head of the queue, says so, and sends it again later and later", async () => {
    const told: { volumeUl: number; at: number }[] = [];
    let state = liveState();
    const codes = ["unwritable", "failed"];
    const bench = await fakeBench((socket) => {
      socket.emit("state", { state, now: Date.now() });
      socket.on("command", (envelope: Envelope, answer: (answer: Answer) => void) => {
        told.push({ volumeUl: volumeOf(envelope), at: Date.now() });
        const code = codes.shift();
        if (code) {
          answer({ ok: false, code, say: "Make room on the disk." });
          return;
        }
        const next = taken(state, envelope);
        state = next.state;
        answer({ ok: true, session: "s", seq: state.seq });
        socket.emit("events", { session: "s", events: next.events, now: Date.now() });
      });
    });
    const store = new MemoryStore();
    const link = bench.join(store);
    await until(link, ({ state }) => state !== null);
    const answers = [1_000, 2_000, 3_000].map((ul) => link.value().send(unplanned(ul)));
    await until(link, ({ unwritten }) => unwritten);
    expect(link.value().word).toMatchObject({
      tone: "refused",
      say: "The record cannot be written: 3 taps wait. Make room on the disk.",
    });
    expect(link.value().queued).toBe(3);
    expect(store.length).toBe(3);
    expect(stateOf(link).bench.poured).toHaveLength(3);
    for (const answer of await Promise.all(answers)) expect(answer.ok).toBe(true);
    expect(told.map(({ volumeUl }) => volumeUl)).toEqual([1_000, 1_000, 1_000, 2_000, 3_000]);
    const [first, second, third] = told.map(({ at }) => at);
    expect((second ?? 0) - (first ?? 0)).toBeGreaterThan(950);
    expect((third ?? 0) - (second ?? 0)).toBeGreaterThan(1_950);
    expect(link.value().unwritten).toBe(false);
    expect(link.value().word?.say).toBe("The record can be written again.");
    await until(link, ({ confirmed }) => confirmed?.bench.poured.length === 3);
  });

  test("is asked again after a second, then twice as late each time, at most after 15 seconds", () => {
    expect([1, 2, 3, 4, 5, 50].map(againMs)).toEqual([1_000, 2_000, 4_000, 8_000, 15_000, 15_000]);
  });
});

describe("a queue of which taps are refused", () => {
  test("names each of them up to five, and keeps the names while a panel opens", async () => {
    const server = await begin();
    const store = new MemoryStore();
    const link = await live(server, store);
    await server.stop();
    await until(link, ({ connection }) => connection === "off");
    void link.value().send({ type: "note", text: "the tide turns", seen: "private" });
    for (let i = 1; i <= 6; i++) void link.value().send(unplanned(i * 1_000));
    link.close();
    await server.restart();
    const other = join(server, await server.pair());
    await until(other, ({ state }) => state?.phase === "live");
    await other
      .value()
      .send({ type: "discard", vessel: "saltmarsh", volumeUl: 250_000, how: "spilled" });
    const again = join(server, await server.pair(), store);
    await until(again, ({ queued, confirmed }) => queued === 0 && confirmed !== null);
    const said = again.value().word?.say.replaceAll("\u202f", " ") ?? "";
    const names = [1, 2, 3, 4, 5].map((ml) => `${ml} mL Saltmarsh 1 % into pan B`).join("; ");
    expect(said).toContain(
      `6 taps were not counted, for the bench had changed: ${names}; and 1 more.`,
    );
    again.value().hush();
    expect(again.value().word?.say.replaceAll("\u202f", " ")).toBe(said);
  });

  test("drops and names what was poured from a jug that was not made", async () => {
    const server = await begin();
    const store = new MemoryStore();
    const link = await live(server, store);
    const { session } = stateOf(link);
    await server.stop();
    await until(link, ({ connection }) => connection === "off");
    const mix = (into: string, vessel: string) =>
      ({
        type: "mix",
        into,
        made: { name: into, as: "jug" },
        parts: [{ vessel, volumeUl: 20_000 }],
        powder: [],
        waterUl: 20_000,
      }) as const;
    void link.value().send(mix("jug-a", "saltmarsh"));
    void link.value().send(mix("jug-b", "jug-a"));
    const fromJug = unplanned(5_000);
    const source = { ...fromJug.pour.source, vessel: "jug-b" };
    void link.value().send({ ...fromJug, pour: { ...fromJug.pour, source } });
    const lantern = { ...fromJug.pour.source, vessel: "lantern" };
    void link.value().send({ ...fromJug, pour: { ...fromJug.pour, source: lantern } });
    expect(stateOf(link).bench.poured).toHaveLength(2);
    link.close();
    await server.restart();
    const other = join(server, await server.pair());
    await until(other, ({ state }) => state?.phase === "live");
    // Another tablet has a jug of the very id: what is in it is not what was mixed here.
    await other.value().send(mix("jug-a", "deepwater"));
    await other.value().send(mix("jug-b", "jug-a"));
    const again = join(server, await server.pair(), store);
    await until(again, ({ queued, confirmed }) => queued === 0 && confirmed !== null);
    const poured = stateOnDisk(server, session).bench.poured.map(({ pour }) => pour.source);
    expect(poured).toMatchObject([{ vessel: "lantern" }]);
    expect(again.value().word?.say.replaceAll("\u202f", " ")).toMatch(
      /^3 taps were not counted.*: made jug-a 0.5 %; made jug-b 0.25 %; 5 mL jug-b 0.25 % into pan B\./,
    );
  });

  test.each<[Command, string[]]>([
    [{ ...unplanned(1), pour: { ...unplanned(1).pour, skeins: ["k"] } }, ["saltmarsh", "B", "k"]],
    [{ type: "correct", act: 3, to: unplannedTo(), reason: "" }, ["saltmarsh", "B"]],
    [{ type: "discard", vessel: "v", volumeUl: 1, how: "spilled" }, ["v"]],
    [{ type: "mix", into: "v", parts: [], powder: [], waterUl: 1 }, ["v"]],
    [{ type: "skeinMove", skein: "k", to: "p" }, ["k", "p"]],
    [{ type: "temperature", pan: "p", celsius: 60 }, ["p"]],
    [{ type: "timerStop", timer: "t" }, ["t"]],
  ])("finds by id what $type needs", (command, ids) => {
    expect(namedIds(command)).toEqual(ids);
  });
});

describe("a whole state that comes while a tap is under way", () => {
  const seenWith = async (holds: boolean) => {
    const at = Date.now() - 5_000;
    const waiting = (id: string, volumeUl: number, at: number): Envelope => ({
      id: `${id}-0000000`,
      session: "s",
      at,
      command: unplanned(volumeUl),
    });
    const store = new MemoryStore();
    const queue = new Queue(store);
    queue.add(waiting("a", 1_000, at), "a", 1);
    queue.add(waiting("b", 2_000, at + 1_000), "b", 2);
    let state = liveState();
    if (holds) state = taken(state, waiting("a", 1_000, at)).state;
    const seen: number[][] = [];
    const bench = await fakeBench((socket) => {
      socket.emit("state", { state, now: Date.now() });
      socket.on("command", (envelope: Envelope, answer: (answer: Answer) => void) => {
        setTimeout(() => {
          if (holds && envelope.id === "a-0000000") {
            answer({ ok: true, session: "s", seq: state.seq });
            return;
          }
          const next = taken(state, envelope);
          state = next.state;
          answer({ ok: true, session: "s", seq: state.seq });
          socket.emit("events", { session: "s", events: next.events, now: Date.now() });
        }, 60);
      });
    });
    const link = bench.join(store);
    link.subscribe(() => {
      const { state } = link.value();
      if (state) seen.push(state.bench.poured.map(({ pour }) => volumeIn(pour.source)));
    });
    await until(link, ({ queued, confirmed }) => queued === 0 && confirmed?.acts.length === 2);
    return seen;
  };

  test("never shows a tap twice that is in it already", async () => {
    const seen = await seenWith(true);
    expect(seen.length).toBeGreaterThan(1);
    for (const volumes of seen) expect(volumes).toEqual([1_000, 2_000]);
  });

  test("shows the tap once it is answered where it was not in it", async () => {
    const seen = await seenWith(false);
    expect(seen.at(-1)).toEqual([1_000, 2_000]);
  });
});

describe("a tablet whose server is away", () => {
  test("queues pours, shows them, and sends each once and in order when it is back", async () => {
    const server = await begin();
    const link = await live(server);
    const { session } = stateOf(link);
    await server.stop();
    await until(link, ({ connection }) => connection === "off");
    const volumes = [1_000, 2_000, 3_000, 4_000, 5_000];
    const answers = volumes.map((volumeUl) => link.value().send(unplanned(volumeUl)));
    expect(link.value().queued).toBe(5);
    expect(stateOf(link).bench.poured).toHaveLength(5);
    expect(link.value().confirmed?.bench.poured).toHaveLength(0);
    await server.restart();
    for (const answer of await Promise.all(answers)) expect(answer.ok).toBe(true);
    expect(link.value().queued).toBe(0);
    expect(poursOnDisk(server, session)).toEqual(volumes);
  });

  test("goes on after a reload of its page with what was queued before", async () => {
    const server = await begin();
    const store = new MemoryStore();
    const token = await server.pair();
    const first = join(server, token, store);
    await until(first, ({ state }) => state !== null);
    await first.value().send({ type: "goLive" });
    const { session } = stateOf(first);
    await server.stop();
    await until(first, ({ connection }) => connection === "off");
    void first.value().send(unplanned(7_000));
    void first.value().send(unplanned(8_000));
    first.close();
    expect(store.length).toBe(2);
    await server.restart();
    const second = join(server, token, store);
    expect(second.value().queued).toBe(2);
    await until(second, ({ queued, confirmed }) => queued === 0 && confirmed !== null);
    expect(poursOnDisk(server, session)).toEqual([7_000, 8_000]);
    expect(store.length).toBe(0);
  });

  test("two pages of one tablet that both hold the queue pour once", async () => {
    const server = await begin();
    const store = new MemoryStore();
    const token = await server.pair();
    const first = join(server, token, store);
    await until(first, ({ state }) => state !== null);
    await first.value().send({ type: "goLive" });
    const { session } = stateOf(first);
    await server.stop();
    await until(first, ({ connection }) => connection === "off");
    void first.value().send(unplanned(7_000));
    const second = join(server, token, store);
    expect(second.value().queued).toBe(1);
    await server.restart();
    await until(first, ({ queued }) => queued === 0);
    await until(second, ({ queued }) => queued === 0);
    expect(poursOnDisk(server, session)).toEqual([7_000]);
  });

  test("an undo that waits behind its pour follows it to the number the server gives it", async () => {
    const server = await begin();
    const store = new MemoryStore();
    const link = await live(server, store);
    const other = join(server, await server.pair());
    await until(other, ({ state }) => state !== null);
    const { session } = stateOf(link);
    await server.stop();
    await until(link, ({ connection }) => connection === "off");
    void link.value().send(unplanned(7_000));
    const mine = stateOf(link).acts.at(-1)?.seq ?? 0;
    void link.value().send({ type: "undo", expect: mine });
    // The other tablet's pour takes the very number that this tablet foresaw for its own.
    const theirs = other.value().send(unplanned(3_000));
    link.close();
    await server.restart();
    other.wake();
    expect(await theirs).toMatchObject({ ok: true, seq: mine });
    const again = join(server, await server.pair(), store);
    await until(again, ({ queued, confirmed }) => queued === 0 && confirmed !== null);
    expect(poursOnDisk(server, session)).toEqual([3_000]);
    expect(stateOnDisk(server, session).seq).toBe(mine + 2);
  });

  test("drops the undo of a pour that the server did not take, and touches no other's", async () => {
    const server = await begin();
    const store = new MemoryStore();
    const link = await live(server, store);
    const other = join(server, await server.pair());
    await until(other, ({ state }) => state?.phase === "live");
    const { session } = stateOf(link);
    await server.stop();
    await until(link, ({ connection }) => connection === "off");
    // Both pour more than half of what the bottle holds.
    void link.value().send(unplanned(200_000));
    const mine = stateOf(link).acts.at(-1)?.seq ?? 0;
    void link.value().send({ type: "undo", expect: mine });
    link.close();
    await server.restart();
    other.wake();
    await until(other, ({ connection }) => connection === "on");
    expect(await other.value().send(unplanned(200_000))).toMatchObject({ ok: true, seq: mine });
    const again = join(server, await server.pair(), store);
    await until(again, ({ queued, confirmed }) => queued === 0 && confirmed !== null);
    expect(again.value().word?.say).toMatch(
      /^2 taps were not counted.*: 200\u202fmL Saltmarsh 1\u202f% into pan B; undo of 200\u202fmL .*holds 50/,
    );
    expect(poursOnDisk(server, session)).toEqual([200_000]);
  });

  test("sends more than the server takes in a second, each once", async () => {
    const server = await begin();
    const link = await live(server);
    const { session } = stateOf(link);
    await server.stop();
    await until(link, ({ connection }) => connection === "off");
    const answers = Array.from({ length: 260 }, (_, i) => link.value().send(unplanned(100 + i)));
    await server.restart();
    await Promise.all(answers);
    expect(poursOnDisk(server, session)).toEqual(Array.from({ length: 260 }, (_, i) => 100 + i));
  });

  test("says when its store is full, and sends what it holds all the same", async () => {
    const server = await begin();
    const store = new MemoryStore();
    const link = await live(server, store);
    const { session } = stateOf(link);
    await server.stop();
    await until(link, ({ connection }) => connection === "off");
    store.full = true;
    const answer = link.value().send(unplanned(4_000));
    expect(link.value().kept).toBe(false);
    expect(link.value().word).toMatchObject({ tone: "refused" });
    expect(link.value().word?.say).toContain("Keep this page open");
    await server.restart();
    expect(await answer).toMatchObject({ ok: true });
    expect(poursOnDisk(server, session)).toEqual([4_000]);
  });
});

describe("two tablets at once", () => {
  test("the one whose step is done already is told, and shows the truth", async () => {
    const server = await begin();
    const one = await live(server);
    const two = join(server, await server.pair());
    await until(two, ({ state }) => state?.phase === "live");
    await calm();
    const expected = currentId(one);
    expect(currentId(two)).toBe(expected);
    const answers = await Promise.all([
      one.value().send({ type: "advance", expect: expected }),
      two.value().send({ type: "advance", expect: expected }),
    ]);
    expect(answers.filter((answer) => answer.ok)).toHaveLength(1);
    expect(answers.find((answer) => !answer.ok)).toMatchObject({ code: "stale" });
    const loser = answers[0]?.ok ? two : one;
    expect(loser.value().word).toMatchObject({ tone: "refused" });
    expect(loser.value().word?.say).toContain("Another step is current now");
    await until(loser, ({ state, confirmed }) => state === confirmed);
    expect(stateOf(loser).acts).toHaveLength(1);
  });

  test("a queue sent after another tablet moved on leaves the record as that one made it", async () => {
    const server = await begin();
    const store = new MemoryStore();
    const one = await live(server, store);
    const token = await server.pair();
    const two = join(server, token);
    await until(two, ({ state }) => state?.phase === "live");
    const { session } = stateOf(one);
    await calm();
    await server.stop();
    await until(one, ({ connection }) => connection === "off");
    for (let i = 0; i < 3; i++) {
      void one.value().send({ type: "advance", expect: currentId(one) });
      await calm();
    }
    one.close();
    await server.restart();
    two.wake();
    await until(two, ({ connection }) => connection === "on");
    const third = stateOf(two).setup.steps[5]?.id ?? "";
    await two.value().send({ type: "choose", step: third });
    const back = join(server, token, store);
    await until(back, ({ queued, confirmed }) => queued === 0 && confirmed !== null);
    expect(back.value().word?.tone).toBe("refused");
    expect(back.value().word?.say).toMatch(/^3 taps were not counted/);
    expect(stateOnDisk(server, session).acts).toHaveLength(0);
    expect(stateOf(back)).toEqual(back.value().confirmed);
  });
});

describe("a tablet that is no longer paired", () => {
  test("stops, keeps its queue, and sends it once it is paired again", async () => {
    const server = await begin();
    const store = new MemoryStore();
    const token = await server.pair();
    const link = join(server, token, store);
    await until(link, ({ state }) => state !== null);
    await link.value().send({ type: "goLive" });
    const { session } = stateOf(link);
    server.record.setSetting("tokens", "[]");
    await server.stop();
    await until(link, ({ connection }) => connection === "off");
    void link.value().send(unplanned(6_000));
    await server.restart();
    await until(link, ({ connection }) => connection === "refused");
    expect(link.value().queued).toBe(1);
    link.close();
    expect(store.length).toBe(1);
    const again = join(server, await server.pair(), store);
    await until(again, ({ queued, confirmed }) => queued === 0 && confirmed !== null);
    expect(poursOnDisk(server, session)).toEqual([6_000]);
  });
});

describe("the queue", () => {
  const envelope = (id: string): Envelope => ({
    id: `${id}-0000000`,
    session: "s",
    at: 1,
    command: { type: "goLive" },
  });

  test("keeps the order of the taps though the tablet's clock jumps back", () => {
    const store = new MemoryStore();
    const queue = new Queue(store);
    queue.add(envelope("a"), "a", 5_000);
    queue.add(envelope("b"), "b", 1_000);
    queue.add(envelope("c"), "c", 1_000);
    const ids = new Queue(store).all().map(({ envelope }) => envelope.id.charAt(0));
    expect(ids).toEqual(["a", "b", "c"]);
  });

  test("passes over entries that are not commands", () => {
    const store = new MemoryStore();
    store.setItem("pourside.queue.000000000000001.x", "{");
    store.setItem("pourside.queue.000000000000002.x", JSON.stringify({ envelope: { id: 1 } }));
    store.setItem("somebody.else", "1");
    new Queue(store).add(envelope("a"), "a", 1);
    expect(new Queue(store).length).toBe(1);
  });

  test("stores again what did not fit once there is room", () => {
    const store = new MemoryStore();
    const queue = new Queue(store);
    queue.add(envelope("a"), "a", 1);
    store.full = true;
    queue.add(envelope("b"), "b", 2);
    expect(queue.kept).toBe(false);
    store.full = false;
    queue.remove(envelope("a").id);
    expect(queue.kept).toBe(true);
    expect(new Queue(store).first?.envelope.id).toBe(envelope("b").id);
  });
});

describe("the server's clock", () => {
  test("is taken from the quickest round trip", () => {
    expect(
      offsetOf([
        { leftAt: 0, backAt: 400, serverNow: 10_000 },
        { leftAt: 500, backAt: 510, serverNow: 10_505 },
        { leftAt: 600, backAt: 590, serverNow: 99_999 },
      ]),
    ).toBe(10_000);
  });

  test("is unknown without a round trip", () => {
    expect(offsetOf([])).toBeNull();
  });
});
