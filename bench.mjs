// Installs what is missing, builds what is stale, and measures: `npm run bench [-- --json]`. It
// needs nothing but Node to begin.
import { mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { buildIfStale, root } from "./tools/build.mjs";
import { ensureInstalled } from "./tools/install.mjs";

ensureInstalled(root, { dev: true });
await buildIfStale();
const { build } = await import("esbuild");

const cache = join(root, "node_modules", ".cache", "pourside");
mkdirSync(cache, { recursive: true });
const scripts = mkdtempSync(join(cache, "bench-"));
process.on("exit", () => rmSync(scripts, { recursive: true, force: true }));
await build({
  absWorkingDir: root,
  entryPoints: ["main", "fold", "house", "bare", "relayLike"].map(
    (part) => `test/bench/${part}.ts`,
  ),
  outdir: scripts,
  outExtension: { ".js": ".mjs" },
  bundle: true,
  platform: "node",
  format: "esm",
  target: "node20.19",
  packages: "external",
  logLevel: "warning",
  plugins: [
    {
      // Files that look for others beside themselves still find them from where they were built to.
      name: "own address",
      setup({ onLoad }) {
        onLoad({ filter: /\.ts$/ }, async ({ path }) => {
          const text = await readFile(path, "utf8");
          const address = JSON.stringify(pathToFileURL(path).href);
          return { contents: text.replaceAll("import.meta.url", address), loader: "ts" };
        });
      },
    },
  ],
});
const { run } = await import(pathToFileURL(join(scripts, "main.mjs")).href);
await run({ project: root, scripts }, process.argv.slice(2));
