import * as z from "zod";
import { refused } from "../dye/refusal.ts";
import { idSchema } from "../session/command.ts";
import type { RecordedEvent } from "../session/event.ts";
import { sayIssue } from "../session/sayIssue.ts";
import type { Id } from "../session/setup.ts";
import { openSheet } from "../session/sheet.ts";
import { BrokenRecord, fold } from "../session/state.ts";
import { textOf } from "../shelf/encoding.ts";
import { type Shelf, shelfProblems, shelfSchema } from "../shelf/shelf.ts";
import { lineOf } from "./lineOf.ts";
import { type Plan, planProblems, planSchema } from "./plan.ts";
import { planOfSetup } from "./planOfSetup.ts";
import { recordedEventSchema } from "./recorded.ts";

/** The version of file that is written. A change of form raises it and brings a migration. */
export const fileVersion = 2;

const version = z.literal(fileVersion);

/** The three kinds of file, each a JSON object that says what it is. */
export const shelfFileSchema = z.strictObject({
  pourside: z.literal("shelf"),
  version,
  shelf: shelfSchema,
});
export const planFileSchema = z.strictObject({
  pourside: z.literal("plan"),
  version,
  plan: planSchema,
  shelf: shelfSchema,
});
export const sessionFileSchema = z.strictObject({
  pourside: z.literal("session"),
  version,
  session: idSchema,
  events: z.array(recordedEventSchema).min(1, { error: "This session has no events." }),
});

export const FILE_SCHEMAS = {
  shelf: shelfFileSchema,
  plan: planFileSchema,
  session: sessionFileSchema,
} as const;

export type FileKind = keyof typeof FILE_SCHEMAS;

export type PoursideFile =
  | { pourside: "shelf"; shelf: Shelf }
  | { pourside: "plan"; plan: Plan; shelf: Shelf }
  | { pourside: "session"; session: Id; events: readonly RecordedEvent[] };

/** What is wrong with a file: the line, the place as a reader counts, and a sentence. */
export type FileProblem = { line: number; at: string; say: string };
export type OpenedFile =
  | { ok: true; file: PoursideFile; migrated: boolean }
  | { ok: false; problems: readonly FileProblem[] };

/** Problems are told until there are so many. */
const mostProblems = 20;
/** A record of a long session is a few MB. */
const mostLetters = 50_000_000;

/** A file as text, two blanks in, with a line end at its end. */
export function writeFile(file: PoursideFile): string {
  const { pourside, ...rest } = file;
  return `${JSON.stringify({ pourside, version: fileVersion, ...rest }, null, 2)}\n`;
}

/**
 * Reads a file of ours. One of an older version is brought up to this one; a pour sheet becomes the
 * plan that it is. A damaged or foreign one is refused: every problem is told with its line (up to
 * 20), and nothing comes of it.
 *
 * @param content the bytes of the file, or its text
 */
export function openFile(content: Uint8Array | string): OpenedFile {
  const text = typeof content === "string" ? content : textOf(content);
  if (refused(text)) {
    const [, line = "1"] = /^Line (\d+)/.exec(text.say) ?? [];
    return failed(Number(line), text.say.replace(" as CSV", ""));
  }
  if (text.length > mostLetters) return failed(1, "This file is larger than any of Pourside's.");
  const json = text.replace(/^\ufeff/, "");
  let value: unknown;
  try {
    value = JSON.parse(json);
  } catch (error) {
    return damaged(json, error);
  }
  if (typeof value !== "object" || value === null || Array.isArray(value)) return foreign();
  if ("pourSheet" in value) return migratedSheet(value, json);
  if (!("pourside" in value) || !isKind(value.pourside)) return foreign();
  if ("version" in value && typeof value.version === "number" && value.version > fileVersion) {
    return failed(
      lineOf(json, ["version"]),
      "This file was made by a newer Pourside. Open it with that one.",
    );
  }
  const brought = fromFirst(value);
  return checked(brought, value.pourside, json, brought !== value);
}

/** A file of version 1 had no swatches on its shelf. */
function fromFirst(value: object): object {
  if (!("version" in value) || value.version !== 1) return value;
  const now = { ...value, version: 2 };
  if (!("shelf" in now) || typeof now.shelf !== "object" || now.shelf === null) return now;
  return { ...now, shelf: { ...now.shelf, swatches: [] } };
}

function checked(value: object, kind: FileKind, json: string, migrated: boolean): OpenedFile {
  const told = (
    problems: readonly { path: readonly PropertyKey[]; say: string }[],
  ): OpenedFile => ({
    ok: false,
    problems: problems
      .slice(0, mostProblems)
      .map(({ path, say }) => ({ line: lineOf(json, path), at: place(path), say })),
  });
  const parsed = FILE_SCHEMAS[kind].safeParse(value);
  if (!parsed.success) {
    return told(parsed.error.issues.map((issue) => ({ path: issue.path, say: sayIssue(issue) })));
  }
  const file = withoutVersion(parsed.data);
  const problems = problemsIn(file);
  return problems.length > 0 ? told(problems) : { ok: true, file, migrated };
}

type Located = { path: readonly PropertyKey[]; say: string };

/** What no schema can see: names that lead nowhere, sums, events that cannot follow one another. */
function problemsIn(file: PoursideFile): Located[] {
  switch (file.pourside) {
    case "shelf":
      return located("shelf", shelfProblems(file.shelf));
    case "plan":
      return [
        ...located("plan", planProblems(file.plan)),
        ...located("shelf", shelfProblems(file.shelf)),
      ];
    case "session": {
      const [first] = file.events;
      if (first?.event.type !== "opened") {
        return [{ path: ["events", 0], say: "A record begins with the opening of its session." }];
      }
      try {
        fold(file.session, file.events);
        return [];
      } catch (error) {
        if (!(error instanceof BrokenRecord || error instanceof RangeError)) throw error;
        const [, seq = "1"] = /(\d+)/.exec(error.message) ?? [];
        return [
          { path: ["events", Number(seq) - 1], say: `This record is damaged: ${error.message}` },
        ];
      }
    }
  }
}

/** "steps 3" of a problem as the path to it. */
function located(
  root: "plan" | "shelf",
  problems: readonly { at: string; say: string }[],
): Located[] {
  return problems.map(({ at, say }) => {
    const [, part = "", n = "1"] = /^(\w+) (\d+)/.exec(at) ?? [];
    return { path: [root, part, Number(n) - 1], say };
  });
}

function withoutVersion(
  parsed:
    | z.infer<typeof shelfFileSchema>
    | z.infer<typeof planFileSchema>
    | z.infer<typeof sessionFileSchema>,
): PoursideFile {
  const { version: _, ...file } = parsed;
  return file;
}

/** A pour sheet, the form before this one, as the plan that it is. */
function migratedSheet(value: object, json: string): OpenedFile {
  const opened = openSheet(value);
  if (opened.ok) {
    return { ok: true, file: { pourside: "plan", ...planOfSetup(opened.setup) }, migrated: true };
  }
  return {
    ok: false,
    problems: opened.problems
      .slice(0, mostProblems)
      .map(({ at, say }) => ({ line: lineOf(json, pathOf(at)), at, say })),
  };
}

/** "steps 3, amount": the place of a sheet as a path. */
function pathOf(at: string): PropertyKey[] {
  return at.split(", ").flatMap((part) => {
    const [, name = part, n] = /^(.*?) (\d+)$/.exec(part) ?? [];
    return n === undefined ? [name] : [name, Number(n) - 1];
  });
}

/** Where the parser stopped, as far as it says so: at a position, at the end, or not at all. */
function damaged(json: string, error: unknown): OpenedFile {
  const message = error instanceof Error ? error.message : "";
  const [, position] = /position (\d+)/.exec(message) ?? [];
  const at = position === undefined ? (/end/.test(message) ? json.length : 0) : Number(position);
  const line = json.slice(0, at).split("\n").length;
  return failed(line, "This file is damaged, or is not JSON: it cannot be read from here on.");
}

function foreign(): OpenedFile {
  return failed(1, "This is not a shelf, a plan or a session of Pourside.");
}

function failed(line: number, say: string): OpenedFile {
  return { ok: false, problems: [{ line, at: "", say }] };
}

function isKind(kind: unknown): kind is FileKind {
  return typeof kind === "string" && Object.hasOwn(FILE_SCHEMAS, kind);
}

function place(path: readonly PropertyKey[]): string {
  return path
    .map((key) => (typeof key === "number" ? ` ${key + 1}` : `, ${String(key)}`))
    .join("")
    .replace(/^, /, "");
}
