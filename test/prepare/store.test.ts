import { describe, expect, test, vi } from "vitest";
import { PreparationStore, type PrepareLine } from "../../controller/prepare/store.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { usualPace } from "../../shared/plan/pace.ts";
import type { PrepareEnvelope } from "../../shared/prepare/change.ts";
import { nothingPrepared, prepare } from "../../shared/prepare/preparation.ts";
import type { PrepareAnswer } from "../../shared/prepare/word.ts";
import { wordOf } from "../../shared/prepare/word.ts";
import { dye } from "../scenario/prepare.ts";

/** A server in memory, that can be out of reach, and slow. */
class Server implements PrepareLine {
  away = false;
  preparation = nothingPrepared;
  private readonly answers = new Map<string, PrepareAnswer>();
  /** Answers that got lost on their way back. */
  loseNext = 0;

  async fetch() {
    await Promise.resolve();
    return this.away
      ? null
      : wordOf(this.preparation, { pace: usualPace, paceFrom: 0, onBench: null });
  }

  async send({ id, prepare: request }: PrepareEnvelope) {
    await Promise.resolve();
    if (this.away) return null;
    const first = this.answers.get(id);
    if (first) return first;
    const next = prepare(this.preparation, request);
    const answer: PrepareAnswer = refused(next)
      ? { ok: false, ...next }
      : { ok: true, seq: next.preparation.seq, say: next.say };
    if (!refused(next)) this.preparation = next.preparation;
    this.answers.set(id, answer);
    if (this.loseNext > 0) {
      this.loseNext -= 1;
      return null;
    }
    return answer;
  }
}

const shelve = (id: string) => ({
  change: "shelve" as const,
  part: "dyes" as const,
  item: dye(id),
});
const names = (store: PreparationStore) =>
  store.value().prepared?.shelf.dyes.map(({ id }) => id) ?? null;

const begin = async () => {
  const server = new Server();
  const store = new PreparationStore(server);
  await vi.waitFor(() => expect(store.value().prepared).not.toBeNull(), 20_000);
  return { server, store };
};

describe("shelf and plans on a tablet", () => {
  test("show a change at once, and are the server's once it has written it", async () => {
    const { server, store } = await begin();
    const answer = store.change(shelve("kelp"));
    expect(names(store)).toEqual(["kelp"]);
    expect(store.value().saving).toBe("saving");
    expect(await answer).toMatchObject({ ok: true, seq: 1 });
    expect(store.value()).toMatchObject({ saving: "saved", word: { seq: 1, undo: { seq: 1 } } });
    expect(server.preparation.prepared.shelf.dyes).toHaveLength(1);
    store.close();
  });

  test("make a change once when its answer was lost", async () => {
    vi.useFakeTimers({ shouldAdvanceTime: true, advanceTimeDelta: 200 });
    const { server, store } = await begin();
    server.loseNext = 1;
    const answer = store.change(shelve("kelp"));
    await vi.waitFor(() => expect(store.value().saving).toBe("away"), 20_000);
    expect(await answer).toMatchObject({ ok: true, seq: 1 });
    expect(server.preparation.seq).toBe(1);
    expect(store.value().saving).toBe("saved");
    store.close();
    vi.useRealTimers();
  });

  test("keep changes while the server is away, in their order, and undo them after", async () => {
    vi.useFakeTimers({ shouldAdvanceTime: true, advanceTimeDelta: 200 });
    const { server, store } = await begin();
    server.away = true;
    const first = store.change(shelve("kelp"));
    const second = store.change(shelve("slipway"));
    const undone = store.undo();
    await vi.waitFor(() => expect(store.value().saving).toBe("away"), 20_000);
    expect(names(store)).toEqual(["kelp", "slipway"]);
    server.away = false;
    await Promise.all([first, second, undone]);
    expect(names(store)).toEqual(["kelp"]);
    expect(store.value().said?.say).toBe("undid: added the dye Slipway");
    store.close();
    vi.useRealTimers();
  });

  test("take over what another tablet did, below what is done here", async () => {
    const { server, store } = await begin();
    await server.send({
      id: "other",
      prepare: { type: "change", change: shelve("lantern") },
    });
    await store.change(shelve("kelp"));
    expect(names(store)).toEqual(["lantern", "kelp"]);
    await server.send({ id: "more", prepare: { type: "change", change: shelve("slipway") } });
    store.heard(3);
    await vi.waitFor(() => expect(names(store)).toEqual(["lantern", "kelp", "slipway"]), 20_000);
    store.close();
  });

  test("say what is refused, and are as they were", async () => {
    const { store } = await begin();
    const answer = await store.change({ change: "retire", part: "dyes", id: "x", out: true });
    expect(answer).toMatchObject({ ok: false, code: "shelf.gone" });
    expect(store.value().said).toMatchObject({ tone: "refused" });
    expect(names(store)).toEqual([]);
    store.close();
  });
});
