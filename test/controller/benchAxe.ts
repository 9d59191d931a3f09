import { fileURLToPath } from "node:url";
import type axe from "axe-core";
import type { Page } from "playwright-core";

const source = fileURLToPath(new URL("../../node_modules/axe-core/axe.min.js", import.meta.url));

/** What axe-core finds wrong with a page, each as its rule and the first element it is about. */
export async function axeViolations(page: Page): Promise<string[]> {
  await page.addScriptTag({ path: source });
  return page.evaluate(async () => {
    const { axe: run } = globalThis as unknown as { axe: typeof axe };
    const { violations } = await run.run();
    return violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html ?? ""}`);
  });
}
