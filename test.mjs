// Installs what is missing, the test browsers included, and runs every check and every test. With
// arguments it runs only the tests that they name. It needs nothing but Node to begin.
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { buildIfStale, root } from "./tools/build.mjs";
import { ensureInstalled } from "./tools/install.mjs";

const names = process.argv.slice(2);
ensureInstalled(root, { dev: true });

const { runChecks } = await import("./tools/check.mjs");
const { countTests } = await import("./tools/count.mjs");
let passed = 0;
let failed = 0;
let skipped = 0;

if (names.length === 0) {
  ({ passed, failed } = await runChecks());
} else {
  console.log(`Only the tests named ${names.join(" ")}; the static checks are left out.`);
  await buildIfStale();
}

const folder = mkdtempSync(join(tmpdir(), "pourside-test-"));
const report = join(folder, "report.json");
const { status } = spawnSync(
  process.execPath,
  [
    "node_modules/vitest/vitest.mjs",
    "run",
    ...names,
    "--reporter=default",
    "--reporter=json",
    `--outputFile.json=${report}`,
  ],
  { cwd: root, stdio: "inherit" },
);
const tests = countTests(report, status);
rmSync(folder, { recursive: true });
passed += tests.passed;
failed += tests.failed;
skipped += tests.skipped;

console.log(`${passed} passed, ${failed} failed${skipped > 0 ? `, ${skipped} skipped` : ""}`);
process.exit(failed > 0 ? 1 : 0);
