import { randomUUID } from "node:crypto";
import { rmSync } from "node:fs";
import { afterAll, beforeAll, expect, it } from "vitest";
import { openRecord, type StoredEvent } from "../../server/record/record.ts";
import type { Command, Envelope } from "../../shared/session/command.ts";
import type { RecordedEvent } from "../../shared/session/event.ts";
import { fold, type State } from "../../shared/session/state.ts";
import type { Answer } from "../../shared/session/wire.ts";
import { chance } from "../record/chance.ts";
import { pourOf } from "../scenario/desk.ts";
import { entry, type Process, startProcess } from "./entry.ts";
import { BenchClient, dataFolder, pause } from "./house.ts";

const kills = 25;
/** Longest time that a server is poured into before it is killed, ms. */
const longestMs = 250;
const bottles = ["lantern", "slipway", "tidewrack", "saltmarsh", "gullwing", "deepwater"];

let script: string;
let remove: () => void;
let data: string;
let server: Process | undefined;

beforeAll(async () => {
  ({ script, remove } = await entry());
  data = dataFolder();
});

afterAll(async () => {
  server?.end("SIGKILL");
  await server?.ended;
  rmSync(data, { recursive: true, force: true });
  remove();
});

const startServer = async (): Promise<string> => {
  server = startProcess(script, {
    flags: ["--port", "0", "--host", "127.0.0.1", "--data", data],
  });
  return await server.ready();
};

const killServer = async (): Promise<void> => {
  server?.end("SIGKILL");
  expect(await server?.ended).toBe("SIGKILL");
};

const pair = async (address: string): Promise<string> => {
  const answer = await fetch(`${address}/api/pair`, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ code: server?.pairingCode() }),
  });
  return ((await answer.json()) as { token: string }).token;
};

const reopened = (session: string): StoredEvent[] => {
  const record = openRecord(data);
  try {
    return record.events(session);
  } finally {
    record.close();
  }
};

const foldStored = (session: string, stored: readonly StoredEvent[]): State =>
  fold(
    session,
    stored.map(
      ({ seq, at, serverAt, body }) => ({ seq, at, serverAt, event: body }) as RecordedEvent,
    ),
  );

/** The answer, or nothing where the server went before it came. */
const sendOrLose = async (client: BenchClient, envelope: Envelope): Promise<Answer | undefined> => {
  const lost = new Promise<undefined>((resolve) => {
    client.socket.once("disconnect", () => resolve(undefined));
  });
  return await Promise.race([client.sendRaw(envelope).catch(() => undefined), lost]);
};

it("a server killed at 25 random moments has kept every pour that it acknowledged, once", async () => {
  const random = chance(4707);
  let address = await startServer();
  const token = await pair(address);
  let client = new BenchClient(address, token);
  await client.arrived();
  await client.must({ type: "goLive" });
  const { session } = client.known();

  /** What was acknowledged: the command's id and the event that the answer named. */
  const acknowledged = new Map<string, number>();
  /** Commands that were sent at all. */
  const sent = new Set<string>();
  let unanswered: Envelope | undefined;
  const found = { keptUnanswered: 0, lostUnanswered: 0, undone: 0 };

  const nextCommand = (): Command => {
    const last = client.known().acts.at(-1);
    if (last && random() < 0.15) return { type: "undo", expect: last.seq };
    const bottle = bottles[Math.floor(random() * bottles.length)] ?? "";
    return { type: "pour", pour: pourOf(bottle, 1 + Math.floor(random() * 500)) };
  };
  const send = async (envelope: Envelope): Promise<boolean> => {
    sent.add(envelope.id);
    unanswered = envelope;
    const answer = await sendOrLose(client, envelope);
    if (!answer) return false;
    if (!answer.ok) throw new Error(`${envelope.command.type}: ${answer.say}`);
    // What is acknowledged has been seen by then: the events come first.
    expect(client.known().seq).toBeGreaterThanOrEqual(answer.seq);
    acknowledged.set(envelope.id, answer.seq);
    unanswered = undefined;
    return true;
  };

  // Each tap is told as half a second after the one before: a bouncing press is not what is tried.
  let lastTap = Date.now() - 3_600_000;
  const tapAt = () => {
    lastTap += 500;
    return lastTap;
  };

  for (let round = 0; round < kills; round += 1) {
    if (unanswered) expect(await send(unanswered)).toBe(true);
    // It goes on pouring until the server is gone, which is at any moment of any command.
    const killed = pause(random() * longestMs).then(killServer);
    let alive = true;
    while (alive) {
      alive = await send({
        id: randomUUID(),
        session,
        at: tapAt(),
        command: nextCommand(),
      });
      // No hand is quicker, and a tablet that were would be cut off as a flood.
      if (alive) await pause(5);
    }
    await killed;
    client.close();

    const stored = reopened(session);
    const times = new Map<string, number[]>();
    for (const { commandId, seq } of stored) {
      times.set(commandId, [...(times.get(commandId) ?? []), seq]);
    }
    expect(stored.map(({ seq }) => seq)).toEqual(stored.map((_, index) => index + 1));
    for (const [id, seq] of acknowledged) expect([id, times.get(id)]).toEqual([id, [seq]]);
    // Beyond those there is at most the one command that was never answered.
    for (const id of times.keys()) {
      const known = !sent.has(id) || acknowledged.has(id) || id === unanswered?.id;
      expect([id, known]).toEqual([id, true]);
    }
    if (unanswered) {
      if (times.has(unanswered.id)) found.keptUnanswered += 1;
      else found.lostUnanswered += 1;
    }

    // What the tablet made of the events it saw is what the record makes of them.
    const held = client.known();
    expect(stored.length).toBeGreaterThanOrEqual(held.seq);
    expect(foldStored(session, stored.slice(0, held.seq))).toEqual(held);

    address = await startServer();
    client = new BenchClient(address, token, held);
    await client.arrived();
    expect(client.messages.map(({ name }) => name)).not.toContain("state");
    const whole = foldStored(session, stored);
    expect(client.known()).toEqual(whole);
    if (round % 8 === 0) {
      const fresh = new BenchClient(address, token);
      await fresh.arrived();
      expect(fresh.known()).toEqual(whole);
      fresh.close();
    }
  }

  if (unanswered) expect(await send(unanswered)).toBe(true);
  client.close();
  await killServer();
  const stored = reopened(session);
  found.undone = stored.filter(({ body }) => (body as { type: string }).type === "undone").length;
  expect(stored.filter(({ commandId }) => sent.has(commandId))).toHaveLength(sent.size);
  expect(acknowledged.size).toBe(sent.size);
  console.log(`${sent.size} commands over ${kills} kills: ${JSON.stringify(found)}`);
  expect(sent.size).toBeGreaterThan(3 * kills);
}, 300_000);
