import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Kit } from "../../shared/recap/kit.ts";
import { House } from "../server/house.ts";

let house: House;
let token: string;
let session: string;

beforeAll(async () => {
  house = await House.start();
  token = await house.pair();
  const bench = await house.benchClient(token);
  await bench.must({ type: "goLive" });
  await bench.must({ type: "note", text: "Mine alone.", seen: "private" });
  await bench.must({ type: "advance", expect: "s1" });
  session = bench.known().session;
});

afterAll(() => house.close());

const get = (path: string, as?: string) =>
  house.ask("GET", `/api/recap/${path}`, as === undefined ? {} : { token: as });

describe("the publishing kit that a tablet asks for", () => {
  test("is for paired tablets alone", async () => {
    for (const path of [session, `${session}/pours.csv`, `${session}/card-landscape.png`]) {
      expect((await get(path)).status).toBe(401);
      expect((await get(path, "not-a-token")).status).toBe(401);
    }
  });

  test("has every file that it lists, each as what it is, and never from a store", async () => {
    const kit = (await get(session, token)).body as Kit;
    expect(kit).toMatchObject({ name: "Harbour at dusk", closed: false, listings: [] });
    for (const { name, type } of kit.files) {
      const { status, headers, text } = await get(`${session}/${name}`, token);
      expect([name, status]).toEqual([name, 200]);
      expect(headers.get("content-type")).toContain(type);
      expect(headers.get("content-disposition")).toBe(`attachment; filename=${name}`);
      expect(headers.get("cache-control")).toBe("no-store");
      expect(text).not.toContain("Mine alone.");
    }
    expect(kit.files.map(({ name }) => name)).toContain("pours.csv");
  });

  test("is made anew once something was written", async () => {
    const before = (await get(`${session}/pours.csv`, token)).text;
    const bench = await house.benchClient(token);
    await bench.must({ type: "advance", expect: "s2" });
    expect(bench.known().bench.poured).toHaveLength(1);
    const after = (await get(`${session}/pours.csv`, token)).text;
    expect(after.split("\n").length).toBe(before.split("\n").length + 2);
  });

  test("says in a sentence what there is not", async () => {
    for (const [path, code] of [
      ["neap-tide", "unknownSession"],
      ["neap-tide/pours.csv", "unknownSession"],
      [`${session}/record.db`, "noFile"],
      [`${session}/..%2F..%2Frecord.db`, "noFile"],
    ] as const) {
      const { status, body } = await get(path, token);
      expect([status, body.code]).toEqual([404, code]);
      expect(body.say).toMatch(/\.$/);
    }
  });
});
