// Builds the parts of the followers' benchmark and runs it: `npm run bench:followers [-- --json]`.
import { mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { build } from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const cache = join(here, "..", "..", "..", "node_modules", ".cache", "pourside");
mkdirSync(cache, { recursive: true });
const scripts = mkdtempSync(join(cache, "followers-"));
process.on("exit", () => rmSync(scripts, { recursive: true, force: true }));
await build({
  entryPoints: ["main", "host", "crowd", "harm"].map((part) => join(here, `${part}.ts`)),
  outdir: scripts,
  outExtension: { ".js": ".mjs" },
  bundle: true,
  platform: "node",
  format: "esm",
  target: "node20.19",
  packages: "external",
  logLevel: "warning",
});
const { run } = await import(pathToFileURL(join(scripts, "main.mjs")).href);
await run(scripts, process.argv.slice(2));
