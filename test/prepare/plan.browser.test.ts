import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Plan } from "../../shared/plan/plan.ts";
import type { PreparationWord } from "../../shared/prepare/word.ts";
import { launchBrowser, shot } from "../browser/launch.ts";
import { PrepareTable } from "./table.ts";

let browser: Browser;
let table: PrepareTable;
let page: Page;

beforeAll(async () => {
  browser = await launchBrowser("current");
  table = await PrepareTable.open(browser);
  page = table.page;
});
afterAll(() => table.close());

const plans = async (): Promise<Plan[]> => {
  await table.saved();
  const { plans } = (await table.ask("/api/preparation")) as PreparationWord;
  return Object.values(plans).map((line) => line.plan);
};
const last = async (): Promise<Plan> => {
  const plan = (await plans()).at(-1);
  if (!plan) throw new Error("There is no plan.");
  return plan;
};

describe("the plan on the table", () => {
  test("is the demonstration at first, at every size, with nothing that axe finds", async () => {
    await page.getByRole("heading", { name: "Ahead" }).waitFor();
    expect(await page.locator(".stove-pan").count()).toBe(3);
    expect(await table.look("plan")).toEqual([]);
  });

  test("shows the step in hand, and the stove as it is by then", async () => {
    await page.locator(".step-what").nth(4).click();
    expect(await page.locator(".editor").count()).toBe(1);
    expect(await page.locator(".stove-said").textContent()).toContain("after the step in hand");
    expect(await table.look("plan-step", ["wide"])).toEqual([]);
    await page.locator(".stove-pan").first().click();
    expect(await table.look("plan-pan", ["tall"])).toEqual([]);
    await page.locator(".stove-skein").nth(2).click();
    expect(await table.look("plan-skein", ["desktop"])).toEqual([]);
    await page.getByRole("button", { name: "Done", exact: true }).click();
  });

  test("says when a bottle runs short, and a tap makes up what is missing", async () => {
    await page.locator("#pour-what").fill("slip");
    await page.locator("#pour-amount").fill("190ml");
    await page.locator("#pour-amount").press("Enter");
    const short = page.locator(".ahead-short");
    await short.waitFor();
    await short.scrollIntoViewIfNeeded();
    await shot(page, "prepare-plan-short");
    await short.getByRole("button", { name: /^Make up/ }).click();
    await short.waitFor({ state: "detached" });
    await table.saved();
    await page.getByRole("button", { name: "Undo", exact: true }).click();
    await short.waitFor();
    await page.getByRole("button", { name: "Undo", exact: true }).click();
    await short.waitFor({ state: "detached" });
  });

  test("moves a pour by Alt and an arrow, and by dragging its number, and back by undo", async () => {
    const words = () => page.locator(".step-what").allTextContents();
    const before = await words();
    await page.locator(".step-what").nth(1).focus();
    await page.keyboard.press("Alt+ArrowDown");
    await expect.poll(async () => (await words())[2]).toBe(before[1]);
    const grip = page.locator(".step-grip").nth(0);
    await grip.scrollIntoViewIfNeeded();
    const from = await grip.boundingBox();
    const to = await page.locator(".step-grip").nth(3).boundingBox();
    if (!from || !to) throw new Error("The rows are not on screen.");
    await page.mouse.move(from.x + 10, from.y + from.height / 2);
    await page.mouse.down();
    await page.mouse.move(to.x + 10, to.y + to.height - 4, { steps: 6 });
    await page.mouse.up();
    await expect.poll(async () => (await words())[3]).toBe(before[0]);
    await table.saved();
    await page.getByRole("button", { name: "Undo", exact: true }).click();
    await expect.poll(async () => (await words())[0]).toBe(before[0]);
    await page.getByRole("button", { name: "Undo", exact: true }).click();
    await expect.poll(words).toEqual(before);
  });

  test("of 6 skeins and 20 pours is typed with a keyboard in under 3 minutes", async () => {
    await page.getByRole("button", { name: "New plan", exact: true }).click();
    await page.getByText("Nothing is poured yet.").waitFor();
    expect(await table.look("plan-empty", ["wide"])).toEqual([]);
    await page.getByRole("button", { name: "Add a pan", exact: true }).click();
    await page.getByRole("button", { name: "Add a pan", exact: true }).click();
    // From here on nothing but keys, counted.
    let keys = 0;
    const type = async (text: string) => {
      keys += text.length;
      await page.keyboard.type(text);
    };
    const press = async (key: string) => {
      keys += 1;
      await page.keyboard.press(key);
    };
    await page.getByLabel("Skeins", { exact: true }).focus();
    await type("6");
    await press("Tab");
    await type("50");
    await press("Enter");
    await expect.poll(() => page.locator(".stove-skein").count()).toBe(6);
    await page.locator("#pour-what").focus();
    const names = ["lan", "sli", "tid", "sal", "gul"];
    for (let n = 0; n < 20; n++) {
      await type(names[n % names.length] ?? "");
      await press("Tab");
      await type(n % 4 === 3 ? "0.1%" : "12ml");
      if (n % 5 === 4) {
        await press("Tab");
        await type("1,3");
      }
      await press("Enter");
      await expect.poll(() => page.locator(".step").count()).toBe(n + 1);
    }
    const plan = await last();
    expect(plan.skeins).toHaveLength(6);
    expect(plan.skeins.every((skein) => skein.massUg === 50_000_000)).toBe(true);
    const pours = plan.steps.flatMap((step) => (step.kind === "pour" ? [step.pour] : []));
    expect(pours).toHaveLength(20);
    expect(pours[0]).toMatchObject({
      source: { from: "stock", stock: "lantern" },
      amount: { by: "volume", volumeUl: 12_000 },
      over: "all",
    });
    expect(pours[3]?.amount).toEqual({ by: "depth", pct: 0.1 });
    expect(pours[4]?.over).toHaveLength(2);
    // A steady typist of an unhurried 40 words a minute presses 3.3 keys a second.
    expect(keys / 3.3).toBeLessThan(180);
    console.log(
      `6 skeins and 20 pours: ${keys} keys, ${Math.round(keys / 3.3)} s at 40 words a minute`,
    );
    expect(await table.look("plan-typed", ["wide"])).toEqual([]);
  });

  test("says what is wrong with what is typed, and adds nothing", async () => {
    const count = await page.locator(".step").count();
    const says = page.locator("#pour-says");
    const attempts: [string, string, string, RegExp][] = [
      ["kelp", "12", "", /Nothing on the shelf is called "kelp"/],
      ["lantern", "-3", "", /\.$/],
      ["lantern", "1e3", "", /\.$/],
      ["lantern", "1,250", "", /1\.25.*mL or.*1250/],
      ["lantern", "0.5 g", "", /choose the powder/],
      ["lantern", "10 drops", "", /Calibrate a dropper/],
      ["lantern", "12", "9", /No skein "9" lies in this pan/],
    ];
    for (const [what, amount, over, say] of attempts) {
      await page.locator("#pour-what").fill(what);
      await page.locator("#pour-amount").fill(amount);
      await page.locator("#pour-over").fill(over);
      await page.locator("#pour-amount").press("Enter");
      await expect.poll(() => says.textContent()).toMatch(say);
    }
    expect(await page.locator(".step").count()).toBe(count);
  });

  test("of 200 pours answers an edit within a frame's work", async () => {
    await table.saved();
    const { plans } = (await table.ask("/api/preparation")) as PreparationWord;
    const [id, line] = Object.entries(plans).at(-1) ?? [];
    if (!id || !line) throw new Error("There is no plan.");
    const [pour] = line.plan.steps;
    if (pour?.kind !== "pour") throw new Error("There is no pour.");
    const steps = Array.from({ length: 200 }, (_, n) => ({ ...pour, id: `many${n}` }));
    const edit = { edit: "replace", plan: { ...line.plan, steps }, because: "many pours" };
    await table.ask("/api/preparation", {
      id: "many pours",
      prepare: { type: "change", change: { change: "plan", plan: id, edit } },
    });
    await expect.poll(() => page.locator(".step").count()).toBe(200);
    await page.locator(".step-what").nth(100).click();
    const volume = page.locator(".editor").getByLabel("How much", { exact: true });
    const times: number[] = [];
    for (let n = 0; n < 9; n++) {
      await volume.fill(`${10 + n} mL`);
      times.push(
        await volume.evaluate((box) => {
          const from = performance.now();
          box.dispatchEvent(new KeyboardEvent("keydown", { key: "Enter", bubbles: true }));
          return new Promise<number>((resolve) => {
            const drawn = new MutationObserver(() => {
              drawn.disconnect();
              resolve(performance.now() - from);
            });
            const sheet = document.querySelector(".steps");
            if (sheet)
              drawn.observe(sheet, { subtree: true, childList: true, characterData: true });
          });
        }),
      );
    }
    times.sort((a, b) => a - b);
    console.log(
      `edit of a plan of 200 pours: ${times[4]?.toFixed(1)} ms median, foresight included`,
    );
    // Ten times the aim, for a machine that does other things as well; the figure above is what counts.
    expect(times[4]).toBeLessThan(160);
  });

  test("never fell over", () => {
    expect(table.tablet.errors).toEqual([]);
  });
});
