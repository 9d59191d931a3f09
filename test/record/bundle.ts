import { createHash } from "node:crypto";
import { basename, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const root = fileURLToPath(new URL("../..", import.meta.url));

/**
 * Makes a script that plain Node runs out of a TypeScript file, and returns its path. It is put
 * below node_modules so that the packages it leaves out are found from there.
 */
export const bundle = async (entry: string): Promise<string> => {
  const name = createHash("sha256").update(entry).digest("hex").slice(0, 8);
  const outfile = join(
    root,
    "node_modules/.cache/pourside",
    `${basename(entry, ".ts")}-${name}-${process.pid}.mjs`,
  );
  await build({
    entryPoints: [entry],
    outfile,
    bundle: true,
    platform: "node",
    format: "esm",
    target: "node20",
    packages: "external",
    logLevel: "error",
  });
  return outfile;
};
