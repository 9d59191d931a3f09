import { defineConfig } from "vitest/config";

// Two projects, because a browser needs most of a small machine: what needs none runs in parallel,
// what needs one runs two files at a time, afterwards.
export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: "unit",
          include: ["test/**/*.test.{ts,tsx}"],
          exclude: ["test/**/*.browser.test.{ts,tsx}"],
          setupFiles: ["test/scenario/chance.ts"],
          testTimeout: 60_000,
          hookTimeout: 60_000,
          sequence: { groupOrder: 0 },
        },
      },
      {
        test: {
          name: "browser",
          include: ["test/**/*.browser.test.{ts,tsx}"],
          globalSetup: ["test/browser/prepare.ts"],
          setupFiles: ["test/browser/close.ts"],
          // A page on a busy machine draws when it can.
          expect: { poll: { timeout: 20_000 } },
          testTimeout: 180_000,
          hookTimeout: 120_000,
          maxWorkers: 2,
          sequence: { groupOrder: 1 },
        },
      },
    ],
  },
});
