import { spawnSync } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { root } from "../../tools/build.mjs";

// The rules of the house are tried on copies that have its settings and no source of its own.
const houses: string[] = [];

afterAll(() => {
  for (const house of houses) rmSync(house, { recursive: true });
});

function houseWith(files: Record<string, string>): string {
  const house = mkdtempSync(join(tmpdir(), "pourside-house-"));
  houses.push(house);
  for (const file of ["biome.json", ".gitignore", "tsconfig.json", "package.json", "tools"]) {
    cpSync(join(root, file), join(house, file), { recursive: true });
  }
  symlinkSync(join(root, "node_modules"), join(house, "node_modules"), "junction");
  for (const [file, content] of Object.entries(files)) {
    mkdirSync(dirname(join(house, file)), { recursive: true });
    writeFileSync(join(house, file), content);
  }
  return house;
}

interface Outcome {
  status: number | null;
  output: string;
}

function run(house: string, script: string, ...args: string[]): Outcome {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    [join(root, "node_modules", script), ...args],
    { cwd: house, encoding: "utf8" },
  );
  return { status, output: stdout + stderr };
}

const cruise = (house: string) =>
  run(
    house,
    "dependency-cruiser/bin/dependency-cruise.mjs",
    "--config=tools/imports.mjs",
    ...["server", "overlay", "controller", "shared"],
  );

const lint = (house: string) =>
  run(house, "@biomejs/biome/bin/biome", "lint", "--max-diagnostics=none", "--reporter=github");

const uses = (path: string) => `import { a } from "${path}";\nexport const b = a;\n`;
const a = "export const a = 1;\n";

describe("an import is refused", () => {
  let outcome: Outcome;

  beforeAll(() => {
    const house = houseWith({
      "server/a.ts": `${a}export type A = 1;\n`,
      "controller/a.ts": a,
      "overlay/broadcast/a.ts": a,
      "overlay/follow/a.ts": a,
      "shared/ours.ts": uses("../server/a.ts"),
      "shared/type.ts": 'import type { A } from "../server/a.ts";\nexport type B = A;\n',
      "shared/file.ts": 'import { readFileSync } from "node:fs";\nexport const a = readFileSync;\n',
      "shared/test.ts": 'import fc from "fast-check";\nexport const a = fc;\n',
      "shared/one.ts": uses("./two.ts"),
      "shared/two.ts": 'import { b } from "./one.ts";\nexport const a = () => b;\n',
      "shared/alone.ts": a,
      "server/page.ts": uses("../controller/a.ts"),
      "overlay/hands.ts": uses("../controller/a.ts"),
      "controller/eyes.ts": uses("../overlay/follow/a.ts"),
      "controller/file.ts": 'import { join } from "node:path";\nexport const a = join;\n',
      "overlay/broadcast/phone.ts": uses("../follow/a.ts"),
      "overlay/follow/screen.ts": uses("../broadcast/a.ts"),
    });
    outcome = cruise(house);
  });

  test.each([
    ["from a rule into the server", "shared-is-pure: shared/ours.ts"],
    ["from a rule into the server, of a type only", "shared-is-pure: shared/type.ts"],
    ["from a rule into Node", "shared-is-pure: shared/file.ts"],
    [
      "from a rule into a package that only tests have",
      "no-test-package-in-source: shared/test.ts",
    ],
    ["from the server into a page", "server-imports-no-page: server/page.ts"],
    ["from the overlay into the controller", "overlay-stands-alone: overlay/hands.ts"],
    ["from the controller into the overlay", "controller-stands-alone: controller/eyes.ts"],
    ["from a page into Node", "no-node-in-a-page: controller/file.ts"],
    ["from broadcast to follow", "broadcast-page-stands-alone: overlay/broadcast/phone.ts"],
    ["from follow to broadcast", "follow-page-stands-alone: overlay/follow/screen.ts"],
    ["in a circle", "no-cycle: shared/"],
    ["that nobody makes of a file", "no-orphan: shared/alone.ts"],
  ])("%s", (_, violation) => {
    expect(outcome.output).toContain(`error ${violation}`);
    expect(outcome.status).not.toBe(0);
  });
});

test("imports in the allowed directions, and of packages, pass", () => {
  const house = houseWith({
    "shared/a.ts": 'import { z } from "zod";\nexport const a = z;\n',
    "server/main.ts": `import "node:fs";\n${uses("../shared/a.ts")}`,
    "overlay/follow/main.tsx": uses("../../shared/a.ts"),
    "controller/main.tsx": uses("../shared/a.ts"),
  });
  expect(cruise(house)).toMatchObject({ status: 0 });
});

describe("the linter refuses", () => {
  let outcome: Outcome;

  beforeAll(() => {
    const house = houseWith({
      "server/any.ts": "export const f = (a: any) => a;\n",
      "server/bang.ts": "export const f = (a?: string) => a!.length;\n",
      "shared/window.ts": "export const f = () => window.name;\n",
      "shared/document.ts": "export const f = () => document.title;\n",
      "shared/process.ts": "export const f = () => process.pid;\n",
      "shared/clock.ts": "export const f = () => Date.now();\n",
      "shared/timer.ts": "export const f = () => setTimeout(f, 1);\n",
      "shared/id.ts": "export const f = () => crypto.randomUUID();\n",
      "shared/dice.ts": "export const f = () => Math.random();\n",
    });
    outcome = lint(house);
  });

  test.each([
    ["any", "lint/suspicious/noExplicitAny", "server/any.ts"],
    ["a non-null assertion", "lint/style/noNonNullAssertion", "server/bang.ts"],
    ["a window in a rule", "lint/style/noRestrictedGlobals", "shared/window.ts"],
    ["a document in a rule", "lint/style/noRestrictedGlobals", "shared/document.ts"],
    ["the process in a rule", "lint/style/noRestrictedGlobals", "shared/process.ts"],
    ["a clock in a rule", "lint/style/noRestrictedGlobals", "shared/clock.ts"],
    ["a timer in a rule", "lint/style/noRestrictedGlobals", "shared/timer.ts"],
    ["a new id in a rule", "lint/style/noRestrictedGlobals", "shared/id.ts"],
    ["randomness in a rule", "plugin", "shared/dice.ts"],
  ])("%s", (_, rule, file) => {
    expect(outcome.output).toMatch(new RegExp(`::error title=${rule},file=[^,]*/${file},`));
    expect(outcome.status).not.toBe(0);
  });
});

test("the linter lets the server have a clock and the pages a document", () => {
  const house = houseWith({
    "server/a.ts": "export const f = () => Date.now() + Math.random();\n",
    "controller/a.ts": "export const f = () => document.title;\n",
  });
  expect(lint(house)).toMatchObject({ status: 0 });
});
