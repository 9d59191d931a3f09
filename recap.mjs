// Installs what is missing, builds what is stale, and writes a session's recap:
// `npm run recap -- --session NAME --out FOLDER`. It needs nothing but Node.
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { buildIfStale, root } from "./tools/build.mjs";
import { ensureInstalled } from "./tools/install.mjs";

ensureInstalled(root, { dev: false });
try {
  await buildIfStale();
} catch (error) {
  // What esbuild found is on the screen already; its first line says how much.
  console.error(String(error instanceof Error ? error.message : error).split("\n")[0]);
  process.exit(1);
}
process.setSourceMapsEnabled(true);
await import(pathToFileURL(join(root, "dist", "server", "recap.js")).href);
