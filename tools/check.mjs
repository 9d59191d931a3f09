// The static checks: types, format and lint, directions of import, and the overlay's features.
import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { buildIfStale, root } from "./build.mjs";

/** @type {{ name: string, command: string[] }[]} */
const checks = [
  { name: "types", command: ["node_modules/typescript/bin/tsc", "--noEmit"] },
  {
    name: "format and lint",
    command: ["node_modules/@biomejs/biome/bin/biome", "check", "--error-on-warnings"],
  },
  {
    name: "directions of import",
    command: [
      "node_modules/dependency-cruiser/bin/dependency-cruise.mjs",
      "--config=tools/imports.mjs",
      "server",
      "overlay",
      "controller",
      "shared",
    ],
  },
  { name: "overlay in Chrome 103", command: ["tools/chrome103.mjs"] },
];

/**
 * Builds and runs every check, and prints what failed.
 * @returns {Promise<{ passed: number, failed: number }>}
 */
export async function runChecks() {
  let passed = 0;
  let failed = 0;
  /** @param {string} name @param {string | undefined} problem */
  const count = (name, problem) => {
    if (problem === undefined) passed++;
    else failed++;
    console.log(problem === undefined ? `passed: ${name}` : `FAILED: ${name}\n${problem}`);
  };

  count("build", await buildProblem());
  for (const { name, command } of checks) {
    const { status, stdout, stderr, error } = spawnSync(process.execPath, command, {
      cwd: root,
      encoding: "utf8",
      maxBuffer: 2 ** 26,
    });
    count(name, status === 0 ? undefined : (error?.message ?? `${stdout}${stderr}`));
  }
  return { passed, failed };
}

async function buildProblem() {
  try {
    await buildIfStale();
    return undefined;
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
}

if (import.meta.url === pathToFileURL(join(process.argv[1] ?? "")).href) {
  const { failed } = await runChecks();
  if (failed > 0) process.exit(1);
}
