// Builds the colour benchmark into one file and runs it.
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const folder = mkdtempSync(join(tmpdir(), "pourside-bench-"));
const outfile = join(folder, "bench.mjs");
await build({
  entryPoints: [fileURLToPath(new URL("main.ts", import.meta.url))],
  bundle: true,
  platform: "node",
  format: "esm",
  target: "node20",
  outfile,
});
const { status } = spawnSync(process.execPath, [outfile, ...process.argv.slice(2)], {
  stdio: "inherit",
});
rmSync(folder, { recursive: true });
process.exit(status ?? 1);
