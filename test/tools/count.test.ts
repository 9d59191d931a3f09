import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { countTests } from "../../tools/count.mjs";

const folder = mkdtempSync(join(tmpdir(), "pourside-count-"));

afterAll(() => {
  rmSync(folder, { recursive: true });
});

function report(counts: object, testResults: object[] = []): string {
  const file = join(folder, `${Math.random()}.json`);
  const none = { numPassedTests: 0, numFailedTests: 0, numPendingTests: 0, numTodoTests: 0 };
  writeFileSync(file, JSON.stringify({ ...none, ...counts, testResults }));
  return file;
}

test("passed, failed and skipped tests are counted", () => {
  const file = report({
    numPassedTests: 5,
    numFailedTests: 2,
    numPendingTests: 1,
    numTodoTests: 1,
  });
  expect(countTests(file, 1)).toEqual({ passed: 5, failed: 2, skipped: 2 });
});

test("a file that could not be run counts as a failure", () => {
  const file = report({ numPassedTests: 5 }, [{ status: "failed", assertionResults: [] }]);
  expect(countTests(file, 1)).toEqual({ passed: 5, failed: 1, skipped: 0 });
});

test("a run that failed without a failed test counts as a failure", () => {
  expect(countTests(report({ numPassedTests: 5 }), 1)).toEqual({
    passed: 5,
    failed: 1,
    skipped: 0,
  });
});

test("a run that left no report counts as a failure", () => {
  expect(countTests(join(folder, "none.json"), 0)).toEqual({ passed: 0, failed: 1, skipped: 0 });
});
