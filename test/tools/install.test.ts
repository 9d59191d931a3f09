import { describe, expect, test } from "vitest";
import { missingPackages, nodeTooOld } from "../../tools/install.mjs";

const system = { os: "linux", cpu: "x64", libc: "glibc" };
const dev = { dev: true, system, exists: () => true };
const production = { ...dev, dev: false };

const lock = {
  packages: {
    "": { version: "0.1.0" },
    "node_modules/yarn": { version: "1.0.0" },
    "node_modules/loupe": { version: "2.0.0", dev: true },
    "node_modules/mill-linux": { version: "3.0.0", optional: true, os: ["linux"], cpu: ["x64"] },
    "node_modules/mill-win": { version: "3.0.0", optional: true, os: ["win32"], cpu: ["x64"] },
    "node_modules/mill-arm": { version: "3.0.0", optional: true, os: ["linux"], cpu: ["arm64"] },
    "node_modules/mill-musl": { version: "3.0.0", optional: true, os: ["linux"], libc: ["musl"] },
    "node_modules/mill-not": { version: "3.0.0", optional: true, os: ["!linux"] },
    "node_modules/mill-win-part": { version: "1.0.0", optional: true },
  },
};

const installed = {
  packages: {
    "node_modules/yarn": { version: "1.0.0" },
    "node_modules/loupe": { version: "2.0.0", dev: true },
    "node_modules/mill-linux": { version: "3.0.0" },
  },
};

function without(name: string) {
  const packages: Record<string, { version: string }> = { ...installed.packages };
  delete packages[name];
  return { packages };
}

describe("what the lock file asks for and is not there", () => {
  test("is nothing when all is there, other systems' programs left out", () => {
    expect(missingPackages(lock, installed, production)).toEqual([]);
    expect(missingPackages(lock, installed, dev)).toEqual([]);
  });

  test("is everything for this system when nothing was ever installed", () => {
    expect(missingPackages(lock, {}, production)).toEqual([
      "node_modules/yarn",
      "node_modules/mill-linux",
    ]);
  });

  test("is a package that is missing", () => {
    expect(missingPackages(lock, without("node_modules/yarn"), production)).toEqual([
      "node_modules/yarn",
    ]);
  });

  test("is a package whose folder was deleted", () => {
    const exists = (folder: string) => folder !== "node_modules/yarn";
    expect(missingPackages(lock, installed, { ...production, exists })).toEqual([
      "node_modules/yarn",
    ]);
  });

  test("is a package of another version, or another package under its name", () => {
    const older = {
      packages: { ...installed.packages, "node_modules/yarn": { version: "0.9.0" } },
    };
    expect(missingPackages(lock, older, production)).toEqual(["node_modules/yarn"]);
    const other = {
      packages: { ...installed.packages, "node_modules/yarn": { version: "1.0.0", name: "wool" } },
    };
    expect(missingPackages(lock, other, production)).toEqual(["node_modules/yarn"]);
  });

  test("is the program for this system, optional though it is", () => {
    expect(missingPackages(lock, without("node_modules/mill-linux"), production)).toEqual([
      "node_modules/mill-linux",
    ]);
  });

  test("is a test's package only when tests are wished", () => {
    const started = without("node_modules/loupe");
    expect(missingPackages(lock, started, production)).toEqual([]);
    expect(missingPackages(lock, started, dev)).toEqual(["node_modules/loupe"]);
  });

  test("is the other system's program on the other system", () => {
    const windows = { ...production, system: { os: "win32", cpu: "x64", libc: undefined } };
    expect(missingPackages(lock, installed, windows)).toEqual([
      "node_modules/mill-win",
      "node_modules/mill-not",
    ]);
  });
});

test.each(["18.20.0", "20.18.3", "8.0.0"])("Node %s is refused in one sentence", (version) => {
  expect(nodeTooOld(version)).toBe(
    `Pourside needs Node.js 20.19 or newer, and this is ${version}: please install a newer one.`,
  );
});

test.each(["20.19.0", "20.20.2", "22.0.0", "24.1.0"])("Node %s will do", (version) => {
  expect(nodeTooOld(version)).toBeUndefined();
});
