import { expect, it } from "vitest";
import { mostViewBytes } from "../../server/relay/limits.ts";
import { toRelaySchema } from "../../server/relay/lineWords.ts";
import { Stage, type Told } from "../../server/relay/stage.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";

const megabyte = 1024 * 1024;

/** The least that counts as a view; patches put texts beside it. */
const snapshot = (seq: number): Told => ({
  kind: "snapshot",
  session: "a",
  seq,
  line: 1,
  turn: seq,
  at: seq,
  view: { session: { name: "a" }, timers: {} } as unknown as PublicView,
});
const patch = (seq: number, key: string, text: string): Told => ({
  kind: "patch",
  session: "a",
  from: seq - 1,
  seq,
  line: 1,
  turn: seq,
  at: seq,
  patch: { [key]: text },
});

it("refuses a patch that makes the view larger than a view may be, and keeps the one before", () => {
  const stage = new Stage(mostViewBytes);
  stage.take(snapshot(1));
  const text = "x".repeat(megabyte);
  for (let seq = 2; seq <= 4; seq += 1) stage.take(patch(seq, `key${seq}`, text));
  expect(() => stage.take(patch(5, "key5", text))).toThrow(RangeError);
  expect(stage.shown()).toMatchObject({ seq: 4, at: 4 });
  expect(stage.snapshotFrame()?.length).toBeLessThan(mostViewBytes);
  // What takes the place of something else makes it no larger, however often.
  for (let seq = 5; seq <= 12; seq += 1) {
    expect(stage.take(patch(seq, "key2", text))).toBeInstanceOf(Buffer);
  }
  expect(() => new Stage(megabyte).take({ ...snapshot(1), session: text })).toThrow(RangeError);
});

it("keeps patches for those who come back up to a number of bytes, and the last of them", () => {
  const stage = new Stage();
  stage.take(snapshot(1));
  for (let seq = 2; seq <= 24; seq += 1) stage.take(patch(seq, "key", "x".repeat(megabyte)));
  const bytesSince = (seq: number) => {
    const frames = stage.framesSince({ session: "a", seq });
    return frames.reduce((sum, { length }) => sum + length, 0);
  };
  // Seven patches of a little more than 1 MiB are within 8 MiB; for one more the whole view goes out.
  expect(stage.framesSince({ session: "a", seq: 17 })).toHaveLength(7);
  expect(stage.framesSince({ session: "a", seq: 16 })[0]).toBe(stage.snapshotFrame());
  for (let seq = 1; seq <= 24; seq += 1) expect(bytesSince(seq)).toBeLessThan(8 * megabyte);
});

it("takes a wait of 0 to 180 s from a bench and no other", () => {
  const readable = (holdBackSeconds: unknown) => {
    const view = { session: { name: "a", holdBackSeconds }, timers: {} };
    const word = { kind: "snapshot", session: "a", seq: 1, at: 1, view };
    return toRelaySchema.safeParse(word).success;
  };
  expect([0, 20, 180, undefined].map(readable)).toEqual([true, true, true, true]);
  expect([-1, 181, 1e9, "20", null].map(readable)).toEqual([false, false, false, false, false]);
});
