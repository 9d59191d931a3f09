// Counts a vitest run from its JSON report.
import { existsSync, readFileSync } from "node:fs";

/**
 * @typedef {{
 *   numPassedTests: number, numFailedTests: number, numPendingTests: number, numTodoTests: number,
 *   testResults: { status: string, assertionResults: { status: string }[] }[],
 * }} Report
 */

/**
 * How many tests passed, failed and were skipped. A file that could not be run, and a run that
 * failed without a failed test, count as one failure each.
 *
 * @param {string} file the report's path
 * @param {number | null} status the run's exit code
 */
export function countTests(file, status) {
  if (!existsSync(file)) return { passed: 0, failed: 1, skipped: 0 };
  /** @type {Report} */
  const report = JSON.parse(readFileSync(file, "utf8"));
  const broken = report.testResults.filter(
    (result) =>
      result.status === "failed" &&
      !result.assertionResults.some((test) => test.status === "failed"),
  ).length;
  const failed = report.numFailedTests + broken;
  return {
    passed: report.numPassedTests,
    failed: failed === 0 && status !== 0 ? 1 : failed,
    skipped: report.numPendingTests + report.numTodoTests,
  };
}
