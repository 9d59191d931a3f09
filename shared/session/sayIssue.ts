import type * as z from "zod";

const KINDS: Readonly<Record<string, string>> = {
  number: "a number",
  int: "a whole number",
  string: "a text in quotation marks",
  boolean: "true or false",
  array: "a list in square brackets",
  tuple: "a list in square brackets",
  object: "a part in curly brackets",
  record: "a part in curly brackets",
};

/** Words that a value may be and that are listed; more are only said to be there. */
const mostValues = 8;

/**
 * What is wrong with one value of a file or of a request, as a sentence: a schema's own sentence
 * where it has one, else what belongs there.
 */
export function sayIssue(issue: z.core.$ZodIssue | undefined): string {
  if (!issue) return "This cannot be read.";
  // Our own schemas speak in whole sentences; the library's words do not end with a stop.
  if (issue.message.endsWith(".")) return issue.message;
  switch (issue.code) {
    case "invalid_type": {
      const kind = KINDS[issue.expected];
      if (issue.message.endsWith("undefined")) {
        return kind ? `This is missing: ${kind} belongs here.` : "This is missing.";
      }
      return kind ? `This has to be ${kind}.` : "This is of another kind than belongs here.";
    }
    case "invalid_value":
      return `This has to be ${oneOf(issue.values)}.`;
    case "too_small":
      return sayLimit(issue.origin, Number(issue.minimum), "least");
    case "too_big":
      return sayLimit(issue.origin, Number(issue.maximum), "most");
    case "not_multiple_of":
      return `This has to be a multiple of ${issue.divisor}.`;
    case "unrecognized_keys": {
      const names = issue.keys.map((key) => `"${key}"`).join(", ");
      return `Nothing of the name ${names} belongs here.`;
    }
    case "invalid_union": {
      const { options } = issue as { options?: readonly unknown[] };
      if (options && options.length > 0) return `This has to be ${oneOf(options)}.`;
      const first = issue.errors.map(([one]) => one).filter((one) => one !== undefined);
      const kinds = first.flatMap((one) =>
        one.code === "invalid_type" ? [KINDS[one.expected]] : [],
      );
      const told = [...new Set(kinds.filter((kind) => kind !== undefined))];
      return told.length === first.length && told.length > 0
        ? `This has to be ${told.join(" or ")}.`
        : "This is none of the kinds that belong here.";
    }
    case "invalid_key":
      return `This is a name that cannot be used: ${sayIssue(issue.issues[0])}`;
    case "invalid_format":
      return "This is not written as it should be.";
    default:
      return "This cannot be read.";
  }
}

function oneOf(values: readonly unknown[]): string {
  const words = values.slice(0, mostValues).map((value) => JSON.stringify(value));
  const rest = values.length > mostValues ? " or another of its kind" : "";
  if (words.length === 1) return `${words[0]}${rest}`;
  return rest === ""
    ? `${words.slice(0, -1).join(", ")} or ${words.at(-1)}`
    : `${words.join(", ")}${rest}`;
}

function sayLimit(origin: string, limit: number, end: "least" | "most"): string {
  const bound = `at ${end} ${limit}`;
  switch (origin) {
    case "string":
      return limit === 1 && end === "least"
        ? "This is empty: a text belongs here."
        : `This has to be ${bound} letters long.`;
    case "array":
    case "set":
      return `There have to be ${bound} of these.`;
    default:
      return `This has to be ${bound}.`;
  }
}
