import { buildIfStale } from "../../tools/build.mjs";
import { browsers, packaged, skippedBrowsers } from "./launch.ts";
import { unpackBrowser } from "./unpack.ts";

/** Runs once before all browser tests. */
export async function setup(): Promise<void> {
  if (skippedBrowsers.length > 0) {
    const skipped = skippedBrowsers.map(({ label }) => label).join(" and ");
    console.log(
      `SKIPPED: ${skipped}, which run on Linux x64 only. Testing in the installed Chrome.`,
    );
  }
  await buildIfStale();
  if (packaged) for (const { name } of browsers) await unpackBrowser(name);
}
