import { readFileSync, writeFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { inPans } from "../../shared/plan/arrangement.ts";
import {
  FILE_SCHEMAS,
  type FileKind,
  type FileProblem,
  openFile,
  type PoursideFile,
  writeFile,
} from "../../shared/plan/file.ts";
import { jsonSchemaOf } from "../../shared/plan/jsonSchema.ts";
import { lineOf } from "../../shared/plan/lineOf.ts";
import { planOfSetup } from "../../shared/plan/planOfSetup.ts";
import { setupOfPlan } from "../../shared/plan/setupOfPlan.ts";
import { Desk, harbourSheet, setupOf } from "../scenario/desk.ts";
import { onePan, shelf } from "../scenario/prepare.ts";
import { shelves } from "../shelf/arbitrary.ts";

const KINDS = Object.keys(FILE_SCHEMAS) as FileKind[];
const committed = (kind: FileKind) =>
  new URL(`../../shared/plan/${kind}.schema.json`, import.meta.url);

/** A session in which something of every kind has happened. */
function session(): PoursideFile {
  const desk = Desk.live();
  const { state } = desk;
  for (let n = 0; n < 3; n++) {
    const step = desk.state.setup.steps[n];
    if (step) desk.must({ type: "advance", expect: step.id });
  }
  const [panId = ""] = Object.keys(state.setup.pans);
  const [stockId = ""] = Object.keys(state.setup.stocks);
  const [skeinId = ""] = Object.keys(state.setup.skeins);
  desk.must({
    type: "mix",
    into: "jug1",
    made: { name: "Dusk", as: "jug" },
    parts: [{ vessel: stockId, volumeUl: 2_000 }],
    powder: [],
    waterUl: 3_000,
  });
  desk.must({ type: "discard", vessel: "jug1", volumeUl: 1_000, how: "spilled" });
  desk.must({ type: "temperature", pan: panId, celsius: 82.5 });
  desk.must({ type: "look", pan: panId, look: "tinted" });
  desk.must({ type: "note", text: "Reads\ntwo lines", seen: "private" });
  desk.must({ type: "skeinMove", skein: skeinId, to: null });
  const last = desk.must({
    type: "timerStart",
    timer: "t1",
    how: "steam",
    pan: panId,
    seconds: 60,
    waitingFor: "",
  });
  desk.must({ type: "undo", expect: last });
  const { setup } = desk.state;
  desk.take({ ok: true, events: [{ type: "replanned", setup: { ...setup, name: "Later" } }] });
  desk.must({ type: "close" });
  return { pourside: "session", session: "session", events: desk.events };
}

const plan: PoursideFile = { pourside: "plan", plan: onePan, shelf };

describe("a file", () => {
  test.each<[string, PoursideFile]>([
    ["shelf", { pourside: "shelf", shelf }],
    ["plan", plan],
    ["session", session()],
  ])("of a %s comes back equal", (_, file) => {
    const opened = openFile(writeFile(file));
    expect(opened).toEqual({ ok: true, file, migrated: false });
  });

  test.each(KINDS)("of a %s that version 1 wrote is brought up to this one", (kind) => {
    const text = readFileSync(new URL(`version-1/${kind}.json`, import.meta.url), "utf8");
    const opened = openFile(text);
    if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
    expect(opened.migrated).toBe(true);
    const { file } = opened;
    if (file.pourside !== "session") expect(file.shelf).toEqual(shelf);
    expect(openFile(writeFile(file))).toEqual({ ok: true, file, migrated: false });
    const broken = text.replace('"id": "', '"id": "!');
    expect(openFile(broken)).toMatchObject({ ok: false });
  });

  test("of any shelf comes back equal", () => {
    fc.assert(
      fc.property(shelves, (of) => {
        const file: PoursideFile = { pourside: "shelf", shelf: of };
        expect(openFile(writeFile(file))).toEqual({ ok: true, file, migrated: false });
      }),
      { numRuns: 300 },
    );
  });

  test("of any arrangement of a plan comes back equal", () => {
    const harbour = planOfSetup(setupOf(harbourSheet()));
    for (let count = 1; count <= 6; count++) {
      const file: PoursideFile = {
        pourside: "plan",
        plan: inPans(harbour.plan, count),
        shelf: harbour.shelf,
      };
      expect(openFile(writeFile(file))).toEqual({ ok: true, file, migrated: false });
    }
  });

  test("of the form before, a pour sheet, becomes the plan that it is", () => {
    const opened = openFile(JSON.stringify(harbourSheet()));
    if (!opened.ok || opened.file.pourside !== "plan") throw new Error("not a plan");
    expect(opened.migrated).toBe(true);
    const again = setupOfPlan(opened.file.plan, opened.file.shelf);
    expect(again).toEqual({ ok: true, setup: setupOf(harbourSheet()) });
  });
});

describe("a file that cannot be read is refused, with the line", () => {
  const text = writeFile(plan);
  const lines = text.split("\n");
  const lineWith = (part: string) => lines.findIndex((line) => line.includes(part)) + 1;
  const problems = (content: string | Uint8Array): readonly FileProblem[] => {
    const opened = openFile(content);
    return opened.ok ? [] : opened.problems;
  };

  test.each<[string, string, number, RegExp]>([
    ["nothing", "", 1, /damaged/],
    ["no JSON", "skein,grams\n", 1, /not JSON/],
    ["a list", "[1]", 1, /not a shelf/],
    ["an object of something else", '{"recipe": 1}', 1, /not a shelf/],
    ["an own kind that is not known", '{"pourside": "toString"}', 1, /not a shelf/],
    ["a newer version", '{\n"pourside": "plan",\n"version": 3\n}', 3, /newer/],
    ["a file cut off", text.slice(0, 400), text.slice(0, 400).split("\n").length, /damaged/],
    ["a comma too many", text.replace('"plan": {', '"plan": {,'), 4, /damaged/],
  ])("%s", (_, content, line, say) => {
    expect(problems(content)).toEqual([{ line, at: "", say: expect.stringMatching(say) }]);
  });

  test("what is out of range is told where it stands", () => {
    const odd = text.replace('"massUg": 50000000', '"massUg": -1');
    expect(problems(odd)).toEqual([
      {
        line: lineWith('"massUg": 50000000'),
        at: "plan, skeins 1, massUg",
        say: expect.any(String),
      },
    ]);
  });

  test("what is not known is told where it stands", () => {
    const odd = text.replace('"onAir": true,', '"onAir": true, "loud": 3,');
    const [problem] = problems(odd);
    expect(problem?.at).toBe("plan, steps 1");
    expect(problem?.line).toBe(lineWith('"onAir": true') - 3);
  });

  test("a name that leads nowhere is told where it stands", () => {
    const odd = text.replace('"pan": "A"', '"pan": "Z"');
    expect(problems(odd)).toMatchObject([
      { at: "plan, skeins 1", say: expect.stringMatching(/"Z"/) },
    ]);
  });

  test("fibres of 99 % are told at their base", () => {
    const odd = text.replace('"pct": 75', '"pct": 74');
    expect(problems(odd)).toMatchObject([
      { at: "shelf, bases 1", say: expect.stringMatching(/add to 99/) },
    ]);
  });

  test("a record whose events cannot follow one another is told at the event", () => {
    const record = session();
    if (record.pourside !== "session") throw new Error("no session");
    const events = record.events.filter((_, at) => at !== 3);
    const content = writeFile({ ...record, events });
    expect(problems(content)).toMatchObject([
      { at: "events 4", say: expect.stringMatching(/damaged: Event 4 is missing/) },
    ]);
    const unopened = writeFile({ ...record, events: record.events.slice(1) });
    expect(problems(unopened)).toMatchObject([{ at: "events 1" }]);
  });

  test("another encoding is told", () => {
    const latin = new Uint8Array([...Buffer.from('{\n"name": "Caf'), 0xe9, 0x22, 0x7d]);
    expect(problems(latin)).toEqual([{ line: 2, at: "", say: expect.stringMatching(/UTF-8/) }]);
  });

  test("whatever is broken in a good file, there is an answer and nothing is thrown", () => {
    fc.assert(
      fc.property(
        fc.nat(text.length),
        fc.nat(40),
        fc.oneof(
          fc.string({ maxLength: 5 }),
          fc.constantFrom("null", "-1", "{}", "1e400", '"__proto__":'),
        ),
        (at, less, put) => {
          const opened = openFile(text.slice(0, at) + put + text.slice(at + less));
          if (opened.ok) return;
          expect(opened.problems.length).toBeGreaterThan(0);
          for (const { line, say } of opened.problems) {
            expect(line).toBeGreaterThan(0);
            expect(say).toMatch(/[.?]$/);
          }
        },
      ),
      { numRuns: 1_500 },
    );
  });

  test("the line of every value is found", () => {
    const values = fc.jsonValue({ maxDepth: 4 });
    fc.assert(
      fc.property(values, (value) => {
        const json = JSON.stringify({ value }, null, 2);
        const walkAll = (part: unknown, path: (string | number)[]): void => {
          const line = json.split("\n")[lineOf(json, path) - 1] ?? "";
          const leaf = typeof part !== "object" || part === null;
          const said = JSON.stringify(part);
          if (leaf) expect(line).toContain(said);
          else if (Array.isArray(part)) {
            for (const [at, one] of part.entries()) walkAll(one, [...path, at]);
          } else for (const [key, one] of Object.entries(part)) walkAll(one, [...path, key]);
        };
        walkAll(JSON.parse(json).value, ["value"]);
      }),
      { numRuns: 300 },
    );
  });
});

describe("the JSON Schema of a file", () => {
  // POURSIDE_WRITE_SCHEMAS=1 writes them anew after the form of a file was changed.
  test.each(KINDS)("of a %s, as committed, is that of the program", (kind) => {
    if (process.env.POURSIDE_WRITE_SCHEMAS === "1") {
      writeFileSync(committed(kind), `${JSON.stringify(jsonSchemaOf(kind), null, 2)}\n`);
    }
    const schema = JSON.parse(readFileSync(committed(kind), "utf8"));
    expect(schema).toEqual(jsonSchemaOf(kind));
    expect(schema.$schema).toBe("https://json-schema.org/draft/2020-12/schema");
  });

  const valid = (kind: FileKind, file: unknown) => {
    const ajv = new Ajv2020({ strict: false, formats: { date: true } });
    return ajv.validate(JSON.parse(readFileSync(committed(kind), "utf8")), file);
  };

  test.each<[FileKind, PoursideFile]>([
    ["shelf", { pourside: "shelf", shelf }],
    ["plan", plan],
    ["session", session()],
  ])("of a %s takes what is written, and not what is refused", (kind, file) => {
    const written = JSON.parse(writeFile(file));
    expect(valid(kind, written)).toBe(true);
    expect(valid(kind, { ...written, version: 9 })).toBe(false);
    expect(valid(kind, { ...written, more: 1 })).toBe(false);
    expect(valid(kind, {})).toBe(false);
  });
});
