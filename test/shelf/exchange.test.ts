import fc from "fast-check";
import Papa from "papaparse";
import { describe, expect, test } from "vitest";
import { textOf } from "../../shared/shelf/encoding.ts";
import { exportTable, importTable, type TablePart } from "../../shared/shelf/exchange.ts";
import {
  emptyShelf,
  retired,
  type Shelf,
  shelfProblems,
  shelfSchema,
} from "../../shared/shelf/shelf.ts";
import { bare, neutral, readTable, writeTable } from "../../shared/shelf/table.ts";
import { creel, dye, quay, shelf, stock } from "../scenario/prepare.ts";
import { names, shelves } from "./arbitrary.ts";

const PARTS: TablePart[] = ["dyes", "bases", "stocks", "tools", "swatches"];

const problemsOf = (file: string | Uint8Array, part: TablePart = "dyes", on: Shelf = shelf) => {
  const answer = importTable(file, part, on);
  return answer.ok ? [] : answer.problems;
};

describe("a table of the shelf", () => {
  test("comes back equal, part by part, whatever the names", () => {
    fc.assert(
      fc.property(shelves, (of) => {
        expect(shelfSchema.safeParse(of).error?.issues ?? []).toEqual([]);
        expect(shelfProblems(of)).toEqual([]);
        let back = emptyShelf;
        for (const part of PARTS) {
          const answer = importTable(exportTable(of, part), part, back);
          if (!answer.ok) throw new Error(JSON.stringify(answer.problems));
          back = answer.shelf;
        }
        expect(back).toEqual(of);
      }),
      { numRuns: 300 },
    );
  });

  test("has no cell that a spreadsheet would take for a formula", () => {
    fc.assert(
      fc.property(shelves, fc.constantFrom(...PARTS), (of, part) => {
        const { data } = Papa.parse<string[]>(exportTable(of, part).slice(1), { delimiter: "," });
        expect(data.length).toBeGreaterThan(of[part].length);
        for (const cell of data.flat()) expect(cell).not.toMatch(/^[=+\-@\t\r]/);
      }),
      { numRuns: 200 },
    );
  });

  test.each(["=SUM(A1)", "+1", "-2", "@x", "\t=x", "  =x", "'=x", "''=x"])(
    "%j is neutralised and comes back",
    (cell) => {
      expect(neutral(cell)).toMatch(/^'/);
      expect(bare(neutral(cell))).toBe(cell);
    },
  );

  test("any text comes back from a cell", () => {
    fc.assert(
      fc.property(fc.array(names, { minLength: 1, maxLength: 5 }), (cells) => {
        const columns = cells.map((_, at) => `c${at}`);
        const read = readTable(writeTable(columns, [cells]), columns, []);
        if (!read.ok) throw new Error(JSON.stringify(read.problems));
        expect(columns.map((column) => read.rows[0]?.cells[column])).toEqual(cells);
      }),
      { numRuns: 500 },
    );
  });
});

describe("a table typed by hand", () => {
  test("takes semicolons, a decimal comma, few columns and its own order of them", () => {
    const answer = importTable(
      "\ufeffon hand;Name;Class\n0,5 kg;Kelp;metal complex\n;Rope;\n",
      "dyes",
      shelf,
    );
    if (!answer.ok) throw new Error(JSON.stringify(answer.problems));
    expect(answer).toMatchObject({ added: 2, changed: 0 });
    expect(answer.shelf.dyes.at(-2)).toMatchObject({
      id: "Kelp",
      name: "Kelp",
      dyeClass: "metalComplex",
      onHandUg: 500_000_000,
    });
    expect(answer.shelf.dyes.at(-1)).toMatchObject({ dyeClass: "unsure" });
  });

  test("puts a line in place of the item of its short name, and leaves the others", () => {
    const answer = importTable("short name,name\nlantern,Lantern gold\n", "dyes", shelf);
    if (!answer.ok) throw new Error(JSON.stringify(answer.problems));
    expect(answer).toMatchObject({ added: 0, changed: 1 });
    expect(answer.shelf.dyes.map((one) => one.name)).toEqual([
      "Lantern gold",
      "Slipway",
      "Deepwater",
    ]);
  });

  test("takes the strength of a bottle in % w/v", () => {
    const answer = importTable(
      "name,volume,dyes\nDusk,200 mL,1 % lantern; 0.5 % slipway\n",
      "stocks",
      shelf,
    );
    if (!answer.ok) throw new Error(JSON.stringify(answer.problems));
    expect(answer.shelf.stocks.at(-1)?.dyes).toEqual({ lantern: 2_000_000, slipway: 1_000_000 });
  });
});

describe("a table of swatches", () => {
  const columns = "dye,yarn,depth,how,colour,patch strays\n";

  test("takes a colour typed, photographed, measured or as a spectrum", () => {
    const spectrum = Array.from({ length: 31 }, (_, n) => (0.2 + n / 100).toFixed(2)).join("; ");
    const answer = importTable(
      `${columns}lantern,quay,0.5 %,Photograph,#D39A2C,1.5\nlantern,quay,1 %,typed,#c98a1c,\nslipway,creel,2 %,L* a* b*,41.5; 52; \u22123.25,\ndeepwater,quay,1 %,spectrum,${spectrum},\n`,
      "swatches",
      shelf,
    );
    if (!answer.ok) throw new Error(JSON.stringify(answer.problems));
    expect(answer.added).toBe(4);
    expect(answer.shelf.swatches.map(({ seen }) => seen)).toEqual([
      { how: "photographed", hex: "#d39a2c", spread: 1.5 },
      { how: "typed", hex: "#c98a1c" },
      { how: "measured", lab: { l: 41.5, a: 52, b: -3.25 } },
      { how: "spectrum", reflectance: spectrum.split("; ").map(Number) },
    ]);
    expect(answer.shelf.swatches[0]?.id).toBe("lantern 0.5 quay");
  });

  test.each([
    ["a dye not there", "kelp,quay,1 %,typed,#c98a1c,", /dye "kelp" is not/],
    ["a yarn not there", "lantern,hemp,1 %,typed,#c98a1c,", /yarn "hemp" is not/],
    ["no depth", "lantern,quay,0 %,typed,#c98a1c,", /more than 0/],
    ["a colour in words", "lantern,quay,1 %,typed,gold,", /#rrggbb/],
    ["two of three numbers", "lantern,quay,1 %,L* a* b*,40; 2,", /L\*, a\* and b\*/],
    ["a short spectrum", "lantern,quay,1 %,spectrum,0.2; 0.3,", /31 shares/],
    ["another way", "lantern,quay,1 %,guessed,#c98a1c,", /not one of spectrum/],
    [
      "a colour brighter than white",
      `lantern,quay,1 %,spectrum,${new Array(31).fill("1.2").join("; ")},`,
      /fluoresces/,
    ],
  ])("tells %s in its line", (_, line, say) => {
    const [problem] = problemsOf(`${columns}${line}\n`, "swatches");
    expect(problem?.line).toBe(2);
    expect(problem?.say).toMatch(say);
  });
});

describe("a table that cannot be read is told line by line, and nothing is changed", () => {
  test.each<[string, string, TablePart, { line: number; column?: string }, RegExp]>([
    ["nothing in it", "", "dyes", { line: 1 }, /empty/],
    ["an unknown column", "name,shade\nKelp,1\n", "dyes", { line: 1 }, /no column "shade"/],
    ["a column missing", "class\nmilling\n", "dyes", { line: 1 }, /"name" is missing/],
    ["a column twice", "name,name\na,b\n", "dyes", { line: 1 }, /twice/],
    ["more cells than columns", "name\nKelp,12\n", "dyes", { line: 2 }, /more cells/],
    [
      "a word for a class",
      "name,class\nKelp,reactive\n",
      "dyes",
      { line: 2, column: "class" },
      /levelling, milling/,
    ],
    [
      "a colour in words",
      "name,colour\nKelp,green\n",
      "dyes",
      { line: 2, column: "colour" },
      /#rrggbb/,
    ],
    [
      "a comma with three digits",
      'name,on hand\nKelp,"1,250"\n',
      "dyes",
      { line: 2, column: "on hand" },
      /1\.25.*or 1250/,
    ],
    ["a short name twice", "name\nKelp\n\nKelp\n", "dyes", { line: 4 }, /line 2 already/],
    ["an open quotation mark", 'name\n"Kelp\nRope\n', "dyes", { line: 2 }, /quotation mark/],
    ["fibres of 99 %", "name,fibres\nA,75 % wool; 24 % nylon\n", "bases", { line: 2 }, /add to 99/],
    [
      "fibres of 101 %",
      "name,fibres\nA,76 % wool; 25 % nylon\n",
      "bases",
      { line: 2 },
      /add to 101/,
    ],
    [
      "fibres without a figure",
      "name,fibres\nA,wool\n",
      "bases",
      { line: 2, column: "fibres" },
      /75 % wool/,
    ],
    [
      "neither yes nor no",
      "name,fibres,superwash\nA,100 % wool,perhaps\n",
      "bases",
      { line: 2, column: "superwash" },
      /yes or no/,
    ],
    [
      "a dye that is not there",
      "name,volume,dyes\nA,100 mL,1 % kelp\n",
      "stocks",
      { line: 2 },
      /not on the shelf/,
    ],
    [
      "a day that never was",
      "name,volume,dyes,made on\nA,1 L,1 % lantern,2031-02-30\n",
      "stocks",
      { line: 2, column: "made on" },
      /2031-05-31/,
    ],
    [
      "a bottle of nothing but dye",
      "name,volume,dyes\nA,1 mL,2 g lantern\n",
      "stocks",
      { line: 2 },
      /more than 1/,
    ],
    [
      "a scale without a size",
      "name,kind\nA,scale\n",
      "tools",
      { line: 2, column: "holds" },
      /needs the cell/,
    ],
    [
      "a cell over two lines before",
      'name,code\nKelp,k1\nRope,"two\nlines"\n,\nSail,\n,x\n',
      "dyes",
      { line: 7, column: "name" },
      /empty/,
    ],
  ])("%s", (_, text, part, place, say) => {
    const csv = text.replace("code", "maker's code");
    const [problem] = problemsOf(csv, part);
    expect(problem).toMatchObject(place);
    expect(problem?.say).toMatch(say);
  });

  test("every line that is wrong is told, up to fifty", () => {
    const lines = Array.from({ length: 70 }, (_, at) => `Kelp ${at},reactive`).join("\n");
    const problems = problemsOf(`name,class\n${lines}\n`);
    expect(problems).toHaveLength(50);
    expect(problems.map((problem) => problem.line)).toEqual(
      Array.from({ length: 50 }, (_, at) => at + 2),
    );
  });

  test("a million lines are told in one sentence, soon", () => {
    const file = `name\n${"Kelp\n".repeat(1_000_000)}`;
    expect(problemsOf(file)).toEqual([{ line: 2_002, say: expect.stringMatching(/2,000 lines/) }]);
  });

  test("another encoding is told at its line", () => {
    const latin = new Uint8Array([...Buffer.from("name\nKelp\nCaf"), 0xe9, 0x0a]);
    expect(problemsOf(latin)).toEqual([{ line: 3, say: expect.stringMatching(/UTF-8/) }]);
    const binary = new Uint8Array([0x50, 0x4b, 0x03, 0x04, 0x00, 0x00]);
    expect(problemsOf(binary)[0]?.say).toMatch(/not a text file/);
  });

  test("UTF-8 and marked UTF-16 are read", () => {
    const text = "name\nCaf\u00e9\n";
    const utf16 = new Uint8Array([0xff, 0xfe, ...Buffer.from(text, "utf16le")]);
    expect(textOf(utf16)).toBe(text);
    expect(importTable(new Uint8Array(Buffer.from(text)), "dyes", shelf)).toMatchObject({
      ok: true,
    });
  });

  test("whatever the bytes, there is an answer", () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.uint8Array({ maxLength: 200 }),
          fc
            .string({ maxLength: 200 })
            .map((text) => new Uint8Array(Buffer.from(`name,class\n${text}`))),
        ),
        fc.constantFrom(...PARTS),
        (bytes, part) => {
          const answer = importTable(bytes, part, shelf);
          if (answer.ok) expect(shelfProblems(answer.shelf)).toEqual([]);
          else expect(answer.problems.every((problem) => /[.?]$/.test(problem.say))).toBe(true);
        },
      ),
      { numRuns: 1_000 },
    );
  });
});

describe("the shelf", () => {
  test("keeps what is taken out of use", () => {
    const less = retired(shelf, "dyes", "lantern");
    expect(less.dyes).toHaveLength(shelf.dyes.length);
    expect(less.dyes[0]?.retired).toBe(true);
    expect(retired(less, "dyes", "lantern", false)).toEqual(shelf);
  });

  test("says what cannot be on it", () => {
    const odd: Shelf = {
      ...emptyShelf,
      dyes: [dye("lantern"), dye("lantern")],
      bases: [creel, { ...quay, fibres: [{ fibre: "wool", pct: 99 }] }],
      stocks: [stock("kelp", "kelp", 100, 1)],
    };
    expect(shelfProblems(odd).map(({ at, code }) => [at, code])).toEqual([
      ["dyes 2", "shelf.twice"],
      ["bases 2, fibres", "base.fibres"],
      ["stocks 1", "stock.unknownDye"],
    ]);
  });
});
