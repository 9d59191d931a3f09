import { describe, expect, test } from "vitest";
import * as z from "zod";
import { sayIssue } from "../../shared/session/sayIssue.ts";

const schema = z.strictObject({
  number: z.number().min(0).max(5).multipleOf(0.5),
  text: z.string().min(1).max(3).regex(/x/),
  word: z.enum(["p", "q"]),
  list: z.array(z.int()).min(1).max(2),
  step: z.discriminatedUnion("kind", [
    z.object({ kind: z.literal("pour") }),
    z.object({ kind: z.literal("rest") }),
  ]),
  either: z.union([z.string(), z.number()]),
  flag: z.boolean(),
  named: z.record(z.string().max(2), z.number()),
  own: z.number({ error: "The depth is not a number. Write it as digits." }),
});
const right = {
  number: 1,
  text: "x",
  word: "p",
  list: [1],
  step: { kind: "pour" },
  either: 1,
  flag: true,
  named: {},
  own: 1,
};

const saidOf = (value: unknown) =>
  (schema.safeParse(value).error?.issues ?? []).map((issue) => sayIssue(issue));

describe("what is wrong with one value is said in a sentence of ours", () => {
  test.each([
    [{ number: "1" }, "This has to be a number."],
    [{ number: 9 }, "This has to be at most 5."],
    [{ number: -1 }, "This has to be at least 0."],
    [{ number: 0.3 }, "This has to be a multiple of 0.5."],
    [{ text: "xxxx" }, "This has to be at most 3 letters long."],
    [{ text: "y" }, "This is not written as it should be."],
    [{ word: "z" }, 'This has to be "p" or "q".'],
    [{ list: [] }, "There have to be at least 1 of these."],
    [{ list: [1, 2, 3] }, "There have to be at most 2 of these."],
    [{ list: [1.5] }, "This has to be a whole number."],
    [{ step: { kind: "dance" } }, 'This has to be "pour" or "rest".'],
    [{ step: 1 }, "This has to be a part in curly brackets."],
    [{ either: {} }, "This has to be a text in quotation marks or a number."],
    [{ flag: 1 }, "This has to be true or false."],
    [
      { named: { abc: 1 } },
      "This is a name that cannot be used: This has to be at most 2 letters long.",
    ],
    [{ own: "much" }, "The depth is not a number. Write it as digits."],
    [{ more: 1 }, 'Nothing of the name "more" belongs here.'],
  ])("%j", (wrong, said) => {
    expect(saidOf({ ...right, ...wrong })).toEqual([said]);
  });

  test("a value that is missing is said to be", () => {
    const { number: _, ...without } = right;
    expect(saidOf(without)).toEqual(["This is missing: a number belongs here."]);
  });
});
