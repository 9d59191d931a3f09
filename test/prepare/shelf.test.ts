import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { comingLines } from "../../controller/shelf/coming.ts";
import { isFound } from "../../controller/shelf/find.ts";
import { freshBase, freshDye, freshTool } from "../../controller/shelf/fresh.ts";
import { sayFibres, unkept } from "../../controller/shelf/shelving.ts";
import { exportTable, importTable } from "../../shared/shelf/exchange.ts";
import { creel, dye, quay, shelf } from "../scenario/prepare.ts";
import { shelves } from "../shelf/arbitrary.ts";

describe("something that is only begun", () => {
  test("needs a name, and nothing more", () => {
    for (const begun of [
      { part: "dyes", item: freshDye() },
      { part: "bases", item: freshBase() },
      { part: "tools", item: freshTool() },
    ] as const) {
      expect(unkept(begun)).toBe("Give it a name first.");
      const named = { ...begun, item: { ...begun.item, name: "Oakum" } } as typeof begun;
      expect(unkept(named)).toBeNull();
    }
  });

  test.each([
    [[99], "99\u202f%: 1\u202f% is missing."],
    [[75, 26], "75 + 26 = 101\u202f%: 1\u202f% too much."],
    [[75, 25], "75 + 25 = 100\u202f%, all of it."],
    [[33.33, 33.33, 33.33], "33.33 + 33.33 + 33.33 = 99.99\u202f%, all of it."],
  ])("says what fibres of %j add to", (shares, says) => {
    const fibres = shares.map((pct, n) => ({ fibre: `fibre ${n}`, pct }));
    expect(sayFibres(fibres)).toBe(says);
    expect(unkept({ part: "bases", item: { ...quay, fibres } }) === null).toBe(
      says.endsWith("all of it."),
    );
  });

  test("is refused with the part that is wrong", () => {
    const noFibre = { ...quay, fibres: [{ fibre: " ", pct: 100 }] };
    expect(unkept({ part: "bases", item: noFibre })).toMatch(/^Its fibres: /);
    const tool = { kind: "scale", capacityUg: 1_000, divisionUg: 2_000 } as const;
    expect(unkept({ part: "tools", item: { ...freshTool(), name: "Odd", tool } })).toMatch(
      /larger than the most it weighs/,
    );
  });
});

describe("the list", () => {
  test("is looked through by every word of name, code, lot or fibre", () => {
    const jar = dye("slipway", { code: "W-312", lot: "Spring" });
    expect(isFound(jar, "")).toBe(true);
    expect(isFound(jar, "SLIP spring")).toBe(true);
    expect(isFound(jar, "slip autumn")).toBe(false);
    expect(isFound(creel, "viscose")).toBe(true);
  });
});

describe("a table before it is taken in", () => {
  test("shows only what is new or changed", () => {
    const text = exportTable(shelf, "dyes").replace("Lantern", "Lamp");
    const answer = importTable(`${text}Oakum\r\n`, "dyes", shelf);
    if (!answer.ok) throw new Error(JSON.stringify(answer.problems));
    expect(comingLines("dyes", shelf, answer.shelf)).toEqual([
      { id: "lantern", name: "Lamp", is: "changed" },
      { id: "Oakum", name: "Oakum", is: "new" },
    ]);
  });

  test("of any shelf, put back on it, changes nothing", () => {
    fc.assert(
      fc.property(shelves, fc.constantFrom("dyes", "bases", "tools"), (of, part) => {
        const answer = importTable(exportTable(of, part), part, of);
        if (!answer.ok) throw new Error(JSON.stringify(answer.problems));
        expect(comingLines(part, of, answer.shelf)).toEqual([]);
      }),
      { numRuns: 50 },
    );
  });

  test("keeps the good lines apart from the bad ones, however many those are", () => {
    const bad = Array.from({ length: 60 }, (_, n) => `Bilge ${n},sunny`).join("\n");
    const answer = importTable(`name,class\n${bad}\nOakum,milling\nOakum,milling\n`, "dyes", shelf);
    if (answer.ok) throw new Error("It was taken.");
    expect(answer.problems).toHaveLength(50);
    expect(answer.wrong).toBe(61);
    expect(answer.good).toMatchObject({ added: 1, changed: 0 });
    expect(answer.good?.shelf.dyes.map(({ id }) => id)).toEqual([
      ...shelf.dyes.map(({ id }) => id),
      "Oakum",
    ]);
  });

  test("with no line that can be read has nothing to take in", () => {
    expect(importTable("name,class\nBilge,sunny\n", "dyes", shelf)).toMatchObject({
      ok: false,
      wrong: 1,
      good: null,
    });
  });
});
