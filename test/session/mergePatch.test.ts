import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type Json, merge, patchOf } from "../../shared/session/mergePatch.ts";
import { rfc7396Examples } from "../reference/rfc7396.ts";

describe("merging a patch", () => {
  test.each(rfc7396Examples)(
    "does as RFC 7396, Appendix A: %j with %j",
    (target, patch, result) => {
      expect(merge(target, patch)).toEqual(result);
    },
  );

  test("leaves the prototype of an object alone", () => {
    const patch = JSON.parse('{"__proto__": {"polluted": true}}') as Json;
    const merged = merge({}, patch) as object;
    expect("polluted" in merged).toBe(false);
    expect(Object.getPrototypeOf(merged)).toBe(Object.prototype);
  });

  test("shares what the patch does not touch", () => {
    const target = { a: { deep: [1, 2] }, b: 1 };
    const merged = merge(target, { b: 2 }) as typeof target;
    expect(merged.a).toBe(target.a);
  });
});

describe("finding a patch", () => {
  const noNulls = fc.letrec<{ json: Json }>((tie) => ({
    json: fc.oneof(
      { depthSize: "small" },
      fc.string(),
      fc.integer(),
      fc.boolean(),
      fc.array(tie("json"), { maxLength: 3 }),
      fc.dictionary(fc.string(), tie("json"), { maxKeys: 4, noNullPrototype: true }),
    ),
  })).json;
  const object = fc.dictionary(fc.constantFrom("a", "b", "c", "d"), noNulls, {
    noNullPrototype: true,
  });

  test("gives what turns one view into the other", () => {
    fc.assert(
      fc.property(object, object, (before, after) => {
        const patch = patchOf(before, after);
        expect(patch === undefined ? before : merge(before, patch)).toEqual(after);
      }),
      { numRuns: 1000 },
    );
  });

  test("is nothing between equals and small between near ones", () => {
    expect(patchOf({ a: [{ b: 1 }] }, { a: [{ b: 1 }] })).toBeUndefined();
    expect(patchOf({ a: { b: 1, c: 2 }, d: 3 }, { a: { b: 1, c: 4 } })).toEqual({
      a: { c: 4 },
      d: null,
    });
  });
});
