import { createHash, randomUUID } from "node:crypto";
import { rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { WebSocket } from "ws";
import { openRecord } from "../../server/record/record.ts";
import type { Command } from "../../shared/session/command.ts";
import { allParts, currentStep } from "../../shared/session/state.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import { relayLivePath } from "../../shared/session/wire.ts";
import { Follower } from "../relay/follower.ts";
import { endTimers, harbourSheet, pourOf, setupOf } from "../scenario/desk.ts";
import { type BenchClient, dataFolder, foldOf, House, liveHouse, pause, until } from "./house.ts";

let house: House;
let token: string;
let bench: BenchClient;

const drop: Command = { type: "pour", pour: pourOf("saltmarsh", 1000) };
const noteOf = (text: string, seen: "public" | "private" = "public"): Command => ({
  type: "note",
  text,
  seen,
});

/** The step that is next by what this tablet holds, as a command to do it. */
const nextStep = (client: BenchClient): Command => ({
  type: "advance",
  expect: currentStep(client.known())?.id ?? "none",
});

beforeEach(async () => {
  ({ house, token, bench } = await liveHouse());
});

afterEach(async () => {
  await house.close();
});

const eventsOf = (session: string) => house.running.record.events(session);

describe("a command that is acknowledged", () => {
  it("names the event that is in the record by then", async () => {
    const { session, seq } = bench.known();
    for (const [index, command] of [nextStep(bench), drop, noteOf("wet yarn first")].entries()) {
      const answer = await bench.send(command);
      expect(answer).toEqual({ ok: true, session, seq: seq + 1 + index });
      expect(eventsOf(session).at(-1)?.seq).toBe(seq + 1 + index);
    }
    expect(eventsOf(session).map(({ body }) => body)).toMatchObject([
      { type: "opened" },
      { type: "wentLive" },
      { type: "acted", act: { kind: "add", pan: "A" }, advances: true },
      { type: "acted", act: { kind: "pour", pour: { pan: "A" } } },
      { type: "acted", act: { kind: "note", text: "wet yarn first" } },
    ]);
  });

  it("is on the tablets and on the viewers' pages as the record has it", async () => {
    const other = await house.benchClient(token);
    const overlay = await house.watchClient();
    const follow = new Follower(house.address);
    await bench.must(drop);
    const seq = await bench.must(nextStep(bench));
    const { session } = bench.known();
    const kept = foldOf(house.running, session);
    await until(() => other.known().seq === seq, "the other tablet");
    expect(bench.known()).toEqual(kept);
    expect(other.known()).toEqual(kept);
    expect(await overlay.sees(seq)).toEqual(publicView(kept));
    expect(await follow.sees(seq)).toEqual(publicView(kept));
    follow.close();
  });

  it("keeps the tap's moment beside the server's, and sets a moment in the future to the server's", async () => {
    const { session } = bench.known();
    const before = Date.now();
    const past = before - 90_000;
    await bench.must(drop, past);
    await bench.must(drop, before + 3_600_000);
    const [late, early] = eventsOf(session).slice(-2);
    expect(late?.at).toBe(past);
    expect(late?.serverAt).toBeGreaterThanOrEqual(before);
    expect(early?.at).toBe(early?.serverAt);
    expect(early?.at).toBeLessThanOrEqual(Date.now());
  });
});

describe("a command id that comes again", () => {
  it("changes nothing and gets the first answer, whatever comes with it", async () => {
    const id = randomUUID();
    const first = await bench.send(drop, { id });
    expect(first.ok).toBe(true);
    const { session } = bench.known();
    const kept = eventsOf(session);
    expect(await bench.send(drop, { id })).toEqual(first);
    expect(await bench.send(noteOf("something else"), { id })).toEqual(first);
    expect(eventsOf(session)).toEqual(kept);
  });

  it("gets the first refusal, also when the command would be taken by now", async () => {
    const id = randomUUID();
    const first = await bench.send({ type: "pour", pour: pourOf("gullwing", 900_000) }, { id });
    expect(first).toMatchObject({ ok: false, code: "tooMuch" });
    const { session } = bench.known();
    const kept = eventsOf(session);
    expect(await bench.send(drop, { id })).toEqual(first);
    expect(eventsOf(session)).toEqual(kept);
  });

  it("gets the first answer after a restart too", async () => {
    const [taken, refused] = [randomUUID(), randomUUID()];
    const answers = [
      await bench.send(drop, { id: taken }),
      await bench.send({ type: "undo", expect: 1 }, { id: refused }),
    ];
    expect(answers.map(({ ok }) => ok)).toEqual([true, false]);
    const { session } = bench.known();
    const kept = eventsOf(session);
    await house.restart();
    const again = await house.benchClient(token);
    expect(await again.send(drop, { id: taken })).toEqual(answers[0]);
    expect(await again.send({ type: "undo", expect: 1 }, { id: refused })).toEqual(answers[1]);
    expect(eventsOf(session)).toEqual(kept);
  });

  it("is taken once when it is sent twice before the first answer", async () => {
    const id = randomUUID();
    const { session, seq } = bench.known();
    const answers = await Promise.all([1, 2, 3].map(() => bench.send(drop, { id })));
    expect(answers).toEqual(answers.map(() => ({ ok: true, session, seq: seq + 1 })));
    expect(eventsOf(session)).toHaveLength(seq + 1);
  });
});

describe("a tablet that was away", () => {
  it("receives the events that it missed and no others", async () => {
    const away = await house.benchClient(token);
    const left = away.known();
    away.close();
    await bench.must(drop);
    await bench.must(nextStep(bench));
    const back = await house.benchClient(token, left);
    expect(back.messages.map(({ name }) => name)).not.toContain("state");
    expect(back.events.map(({ seq }) => seq)).toEqual([left.seq + 1, left.seq + 2]);
    expect(back.known()).toEqual(foldOf(house.running, left.session));
  });

  it("receives nothing where it missed nothing", async () => {
    const back = await house.benchClient(token, bench.known());
    expect(back.messages.find(({ name }) => name === "events")?.body).toMatchObject({ events: [] });
    expect(back.messages.map(({ name }) => name)).not.toContain("state");
  });

  it("receives what it missed across a restart of the server", async () => {
    const left = bench.known();
    await bench.must(drop);
    await house.restart();
    const back = await house.benchClient(token, left);
    expect(back.events.map(({ seq }) => seq)).toEqual([left.seq + 1]);
    expect(back.known()).toEqual(foldOf(house.running, left.session));
  });

  it("receives the whole state where it holds another session, or more than there is", async () => {
    const { session, seq } = bench.known();
    for (const has of [
      { session: "another", seq: 1 },
      { session, seq: seq + 1 },
    ]) {
      const back = await house.benchClient(token, has);
      expect(back.messages[0]?.name).toBe("state");
      expect(back.known()).toEqual(foldOf(house.running, session));
    }
  });

  it("receives the whole state instead of thousands of events", async () => {
    const { session, seq } = bench.known();
    const shown = { type: "shown", view: "auto", parts: allParts };
    await house.restart(() => {
      const record = openRecord(house.data);
      const last = seq + 2001;
      record.append(session, seq, "much-shown", 1, 1, Array(2001).fill(shown), {
        ok: true,
        session,
        seq: last,
      });
      record.close();
    });
    const far = await house.benchClient(token, { session, seq });
    expect(far.messages[0]?.name).toBe("state");
    expect(far.known().seq).toBe(seq + 2001);
    const near = await house.benchClient(token, { session, seq: seq + 1 });
    expect(near.messages[0]?.name).toBe("events");
    expect(near.events).toHaveLength(2000);
  });

  it("may ask for what it missed without connecting anew", async () => {
    const { session, seq } = bench.known();
    await bench.must(drop);
    bench.messages.length = 0;
    bench.socket.emit("catchUp", { session, seq });
    await until(() => bench.messages.length > 0, "what was missed");
    expect(bench.messages).toMatchObject([
      { name: "events", body: { session, events: [{ seq: seq + 1 }] } },
    ]);
  });

  it("sends what it queued, in order, and all of it is kept once", async () => {
    const away = await house.benchClient(token);
    const left = away.known();
    away.close();
    const queued = [1, 2, 3].map((mL) => ({
      id: randomUUID(),
      session: left.session,
      at: Date.now() - 10_000 + mL * 1000,
      command: { type: "pour", pour: pourOf("saltmarsh", mL * 1000) },
    }));
    const back = await house.benchClient(token, left);
    const answers = await Promise.all([...queued, ...queued].map((one) => back.sendRaw(one)));
    const seqs = [1, 2, 3].map((n) => left.seq + n);
    expect(answers.map((answer) => answer.ok && answer.seq)).toEqual([...seqs, ...seqs]);
    const kept = eventsOf(left.session).slice(left.seq);
    expect(kept.map(({ commandId, at }) => ({ id: commandId, at }))).toEqual(
      queued.map(({ id, at }) => ({ id, at })),
    );
  });
});

describe("an overlay that was away", () => {
  it("receives the patches that it missed and no snapshot", async () => {
    const away = await house.watchClient();
    const held = away.known();
    away.close();
    await bench.must(drop);
    const seq = await bench.must(noteOf("ten minutes more"));
    const back = await house.watchClient(held);
    const view = await back.sees(seq);
    expect(back.messages.map(({ name }) => name)).toEqual(["patch", "patch"]);
    expect(view).toEqual(publicView(foldOf(house.running, held.session)));
  });

  it("receives nothing where it missed nothing, and then the next change", async () => {
    const first = await house.watchClient();
    const back = await house.watchClient(first.known());
    const seq = await bench.must(drop);
    const view = await back.sees(seq);
    expect(back.messages.map(({ name }) => name)).toEqual(["patch"]);
    expect(view).toEqual(publicView(foldOf(house.running, bench.known().session)));
  });

  it("receives a snapshot where it held another session, more than there is, or too little", async () => {
    const viewer = await house.watchClient();
    const held = viewer.known();
    viewer.close();
    for (const has of [
      { ...held, session: "another" },
      { ...held, seq: held.seq + 1 },
    ]) {
      const back = await house.watchClient(has);
      await until(() => back.messages.length > 0, "a snapshot");
      expect(back.messages.map(({ name }) => name)).toEqual(["snapshot"]);
      expect(back.known()).toEqual(held);
    }
    // More changes than the server keeps patches of; two tablets, because one may not be so quick.
    const other = await house.benchClient(token);
    const views = ["tally", "auto"] as const;
    await Promise.all(
      [bench, other].flatMap((client) =>
        Array.from({ length: 130 }, (_, n) =>
          client.must({ type: "show", view: views[n % 2] ?? "auto", parts: allParts }),
        ),
      ),
    );
    const late = await house.watchClient(held);
    await late.sees(held.seq + 260);
    expect(late.messages.map(({ name }) => name)).toEqual(["snapshot"]);
  });

  it("receives a snapshot when it asks for one", async () => {
    const viewer = await house.watchClient();
    await bench.must(drop);
    viewer.messages.length = 0;
    viewer.socket.emit("resync");
    await until(() => viewer.messages.some(({ name }) => name === "snapshot"), "a snapshot");
    expect(viewer.known().view).toEqual(publicView(foldOf(house.running, viewer.known().session)));
  });
});

describe("two tablets at once", () => {
  it("pour one step: exactly one is taken, the other is told that it is stale", async () => {
    const other = await house.benchClient(token);
    await bench.must(nextStep(bench), Date.now() - 5000);
    await until(() => other.known().seq === bench.known().seq, "both to see the same");
    const step = nextStep(bench);
    expect(nextStep(other)).toEqual(step);
    const { session, seq } = bench.known();
    const answers = await Promise.all([bench.send(step), other.send(step)]);
    expect(answers.filter(({ ok }) => ok)).toEqual([{ ok: true, session, seq: seq + 1 }]);
    expect(answers.find(({ ok }) => !ok)).toEqual({
      ok: false,
      code: "stale",
      say: "Another step is current now. Nothing was changed; look again and tap.",
    });
    expect(eventsOf(session)).toHaveLength(seq + 1);
    await until(() => other.known().seq === seq + 1, "the other to see it");
    expect(other.known().bench.poured).toHaveLength(1);
  });

  it("pour different things: both are in the record, one after the other", async () => {
    const other = await house.benchClient(token);
    const { session, seq } = bench.known();
    const answers = await Promise.all(
      Array.from({ length: 20 }, (_, n) => [
        bench.must({ type: "pour", pour: pourOf("saltmarsh", 100 + n) }),
        other.must({ type: "pour", pour: pourOf("lantern", 100 + n) }),
      ]).flat(),
    );
    expect(answers.sort((a, b) => a - b)).toEqual(answers.map((_, n) => seq + 1 + n));
    const kept = foldOf(house.running, session);
    await until(() => other.known().seq === kept.seq && bench.known().seq === kept.seq, "both");
    expect(bench.known()).toEqual(kept);
    expect(other.known()).toEqual(kept);
    expect(kept.bench.vessels.saltmarsh?.vessel.drawnUl).toBe(20 * 100 + 190);
    expect(kept.bench.vessels.lantern?.vessel.drawnUl).toBe(20 * 100 + 190);
  });

  it("undo one act: one is taken back, not two", async () => {
    const other = await house.benchClient(token);
    await bench.must(drop);
    const act = await bench.must(drop);
    const undo: Command = { type: "undo", expect: act };
    const answers = await Promise.all([bench.send(undo), other.send(undo)]);
    expect(answers.map((answer) => (answer.ok ? "taken" : answer.code)).sort()).toEqual([
      "stale",
      "taken",
    ]);
    expect(foldOf(house.running, bench.known().session).bench.poured).toHaveLength(1);
  });
});

describe("a second press within 400 ms", () => {
  it("is not counted, and says so", async () => {
    const at = Date.now() - 60_000;
    const seq = await bench.must(nextStep(bench), at);
    await until(() => bench.known().seq === seq, "the step");
    const second = await bench.send(nextStep(bench), { at: at + 399 });
    expect(second).toMatchObject({ ok: false, code: "bounce" });
    expect(eventsOf(bench.known().session)).toHaveLength(seq);
    expect(await bench.must(nextStep(bench), at + 400)).toBe(seq + 1);
  });
});

describe("another session on the bench", () => {
  it("comes as a snapshot to all, and back again", async () => {
    const overlay = await house.watchClient();
    const other = await house.benchClient(token);
    const { session: first } = bench.known();
    const { seq } = foldOf(house.running, first);
    const opened = await house.ask("POST", "/api/sessions", {
      token,
      body: { ...harbourSheet(), name: "Second tide" },
    });
    expect(opened.status).toBe(201);
    const second: string = opened.body.session;
    await until(() => overlay.known().session === second, "the overlay");
    await until(
      () => [bench, other].every((client) => client.known().session === second),
      "the tablets",
    );
    expect(overlay.known().view).toEqual(publicView(foldOf(house.running, second)));
    expect(other.known()).toEqual(foldOf(house.running, second));
    expect(await house.place()).toEqual({ session: second, seq: 1 });

    // What is still on its way to the session before is kept there and disturbs nobody's view.
    const late = { id: randomUUID(), session: first, at: Date.now(), command: noteOf("late") };
    expect(await bench.sendRaw(late)).toEqual({ ok: true, session: first, seq: seq + 1 });
    expect(overlay.known()).toMatchObject({ session: second, seq: 1 });
    expect(bench.known()).toMatchObject({ session: second, seq: 1 });

    const back = await house.ask("POST", `/api/sessions/${first}/bench`, { token });
    expect(back.body).toEqual({ session: first });
    await until(() => overlay.known().session === first, "the overlay, again");
    await until(() => bench.known().session === first, "the tablet, again");
    expect(overlay.known().seq).toBe(seq + 1);
    expect(overlay.known().view).toEqual(publicView(foldOf(house.running, first)));
    expect(overlay.messages.map(({ name }) => name)).toEqual(["snapshot", "snapshot", "snapshot"]);
    const { body } = await house.ask("GET", "/api/sessions", { token });
    expect(body).toMatchObject([
      { id: first, name: "Harbour at dusk", phase: "live", onBench: true },
      { id: second, name: "Second tide", phase: "ready", onBench: false },
    ]);
  });

  it("is refused when there is no such session, or when the sheet is wrong", async () => {
    const place = await house.place();
    const nowhere = await house.ask("POST", "/api/sessions/nowhere/bench", { token });
    expect(nowhere).toMatchObject({ status: 404, body: { code: "unknownSession" } });
    const sheet = harbourSheet();
    const wrong = { ...sheet, steps: [{ ...sheet.steps[1], stock: "fog" }] };
    const refused = await house.ask("POST", "/api/sessions", { token, body: wrong });
    expect(refused.status).toBe(422);
    expect(refused.body.problems).toMatchObject([{ at: expect.stringContaining("steps") }]);
    expect(await house.place()).toEqual(place);
    expect(house.running.record.sessions()).toHaveLength(1);
  });
});

describe("presence", () => {
  it("counts who is there, and says what the overlay has painted", async () => {
    const overlay = await house.watchClient();
    const viewers = [new Follower(house.address), new Follower(house.address)];
    const other = await house.benchClient(token);
    await until(
      () =>
        bench.presence?.overlays === 1 &&
        bench.presence.followers === 2 &&
        bench.presence.controllers === 2,
      "all to be counted",
    );
    expect(bench.presence).toMatchObject({ overlaySession: null, overlayHeardAt: null });
    const { session, seq } = overlay.known();
    const before = Date.now();
    overlay.socket.emit("showing", { session, seq });
    await until(() => bench.presence?.overlaySession === session, "the overlay to be heard");
    expect(bench.presence?.overlaySeq).toBe(seq);
    expect(bench.presence?.overlayHeardAt).toBeGreaterThanOrEqual(before);
    expect(bench.presence?.overlayHeardAt).toBeLessThanOrEqual(Date.now());
    overlay.close();
    for (const viewer of viewers) viewer.close();
    other.close();
    await until(
      () =>
        bench.presence?.overlays === 0 &&
        bench.presence.followers === 0 &&
        bench.presence.controllers === 1,
      "all to be gone",
    );
  });

  it("lets the overlay that is furthest behind speak for all", async () => {
    const onAir = await house.watchClient();
    const inATab = await house.watchClient();
    const { session, seq } = inATab.known();
    onAir.socket.emit("showing", { session, seq: seq - 1 });
    inATab.socket.emit("showing", { session, seq });
    await until(() => bench.presence?.overlaySeq === seq - 1, "the one behind to be told");
    await pause(250);
    expect(bench.presence).toMatchObject({ overlays: 2, overlaySeq: seq - 1 });
    onAir.close();
    await until(() => bench.presence?.overlaySeq === seq, "the other to be told");
    inATab.close();
  });

  it("takes no viewer's word for the overlay's", async () => {
    const viewer = new Follower(house.address);
    const { session, seq } = await house.place();
    await viewer.sees(seq);
    viewer.socket.send(JSON.stringify(["showing", { session, seq }]));
    await until(() => bench.presence?.followers === 1, "the viewer to be counted");
    await pause(250);
    expect(bench.presence).toMatchObject({
      overlays: 0,
      overlaySession: null,
      overlayHeardAt: null,
    });
    viewer.close();
  });

  it("tells a tablet the server's clock", async () => {
    const before = Date.now();
    const now = await bench.socket.timeout(2000).emitWithAck("clock");
    expect(now).toBeGreaterThanOrEqual(before);
    expect(now).toBeLessThanOrEqual(Date.now());
  });
});

/** Every string in a message, keys included. */
function stringsIn(value: unknown): string[] {
  if (typeof value === "string") return [value];
  if (typeof value !== "object" || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) => [key, ...stringsIn(inner)]);
}

/** One who keeps every frame as it came from the wire, the first one included. */
type Eavesdropper = { frames: string[]; close(): void };

function onOverlaySpace(): Eavesdropper {
  const { socket, frames } = listening("/socket.io/?EIO=4&transport=websocket");
  socket.on("message", (data) => {
    const frame = String(data);
    if (frame.startsWith("0")) socket.send('40/watch,{"page":"overlay"}');
    if (frame === "2") socket.send("3");
  });
  return { frames, close: () => socket.terminate() };
}

function onFollowLine(): Eavesdropper {
  const { socket, frames } = listening(relayLivePath);
  return { frames, close: () => socket.terminate() };
}

function listening(path: string): { socket: WebSocket; frames: string[] } {
  const socket = new WebSocket(house.address.replace("http", "ws") + path);
  const frames: string[] = [];
  socket.on("message", (data) => frames.push(String(data)));
  return { socket, frames };
}

const contents = (frame: string): unknown => {
  const json = /^\d*(?:\/\w+,)?(?<json>[[{].*)$/s.exec(frame)?.groups?.json;
  return json === undefined ? [] : JSON.parse(json);
};

describe("in all that viewers receive of a whole session", () => {
  it("there is no private note, token, pairing code or file path", async () => {
    const listeners = [onOverlaySpace(), onFollowLine()];
    await until(
      () => listeners.every(({ frames }) => frames.some((frame) => frame.includes('"snapshot"'))),
      "the viewers",
    );
    let at = Date.now() - 3_600_000;
    const tap = async (command: Command) => {
      at += 1000;
      return await bench.must(command, at);
    };
    const secret = "the client's own recipe, do not show";
    const secrets = [secret, `${secret} <b>2</b>`];
    await tap(noteOf(secrets[0] ?? "", "private"));
    await tap(noteOf("salt goes in last"));
    const { session } = bench.known();
    let code = house.running.newPairingCode();
    let steps = 0;
    for (;;) {
      const step = currentStep(foldOf(house.running, session));
      if (!step) break;
      await tap({ type: "advance", expect: step.id });
      steps += 1;
      if (steps === 4) await tap(noteOf(secrets[1] ?? "", "private"));
      if (steps === 6) {
        // A second tablet comes in while the viewers look on, and the first one asks for addresses.
        const second = await house.pair();
        await house.benchClient(second);
        secrets.push(second, createHash("sha256").update(second).digest("hex"));
        await house.ask("GET", "/api/addresses", { token });
        code = (await house.ask("POST", "/api/pair/code", { token })).body.code;
      }
      if (steps === 8) {
        const wrong = await tap(drop);
        await tap({
          type: "correct",
          act: wrong,
          to: { kind: "pour", pour: pourOf("saltmarsh", 900) },
          reason: secret,
        });
        const undone = await tap(noteOf(secret, "private"));
        await tap({ type: "undo", expect: undone });
      }
    }
    expect(steps).toBeGreaterThanOrEqual(22);
    await tap({ type: "show", view: "recap", parts: allParts });
    for (const end of endTimers(bench.known())) await tap(end);
    const last = await tap({ type: "close" });
    await until(
      () =>
        listeners.every(({ frames }) => frames.some((frame) => frame.includes(`"seq":${last},`))),
      "the viewers to see the end",
    );
    const open = await house.ask("GET", "/api/view");
    expect(open.body.seq).toBe(last);
    for (const listener of listeners) listener.close();

    const frames = [...listeners.flatMap(({ frames }) => frames), `0${open.text}`];
    expect(frames.filter((frame) => frame.includes('"patch"')).length).toBeGreaterThan(2 * steps);
    secrets.push(
      token,
      createHash("sha256").update(token).digest("hex"),
      house.data,
      process.cwd(),
      "record.db",
      house.running.record.file,
    );
    for (const frame of frames) {
      for (const text of stringsIn(contents(frame))) {
        for (const secret of secrets) expect(text).not.toContain(secret);
        // A colour may consist of the same six digits.
        expect(text.startsWith("#") ? "" : text).not.toContain(code);
      }
    }
    // The walk would have found them: what is public is there, and the tablet did get the note.
    const seen = frames.flatMap((frame) => stringsIn(contents(frame)));
    expect(seen).toContain("salt goes in last");
    expect(bench.messages.flatMap(({ body }) => stringsIn(body))).toContain(secret);
  });
});

describe("a copy of the record", () => {
  it("holds all that was acknowledged, and opens", async () => {
    await bench.must(drop);
    const { session } = bench.known();
    const response = await fetch(`${house.address}/api/record`, {
      headers: { Authorization: `Bearer ${token}` },
    });
    expect(response.status).toBe(200);
    const folder = dataFolder();
    writeFileSync(join(folder, "record.db"), Buffer.from(await response.arrayBuffer()));
    const copy = openRecord(folder);
    try {
      expect(copy.events(session)).toEqual(eventsOf(session));
    } finally {
      copy.close();
      rmSync(folder, { recursive: true });
    }
  });
});

describe("a record that was there before", () => {
  it("is on the bench again, the session that was there last", async () => {
    await bench.must(drop);
    const { session } = bench.known();
    const kept = foldOf(house.running, session);
    await house.restart();
    const again = await house.benchClient(token);
    expect(again.known()).toEqual(kept);
    expect(house.running.record.sessions()).toHaveLength(1);
  });

  it("puts its latest session on the bench where none was chosen", async () => {
    const data = dataFolder();
    const record = openRecord(data);
    const setup = setupOf({ ...harbourSheet(), name: "Found on the shelf" });
    const answer = { ok: true, session: "shelf", seq: 1 } as const;
    record.append("shelf", 0, "from-before", 1, 1, [{ type: "opened", setup }], answer);
    record.close();
    const other = await House.start(data);
    try {
      expect(await other.place()).toEqual({ session: "shelf", seq: 1 });
      const viewer = await other.watchClient();
      expect(viewer.known().view.session.name).toBe("Found on the shelf");
    } finally {
      await other.close();
    }
  });
});
