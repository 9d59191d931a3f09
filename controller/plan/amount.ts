import { showDepth, showMass, showVolume } from "../../shared/dye/display.ts";
import { quantityText, readQuantity, type Understood } from "../../shared/dye/quantity.ts";
import { type Refusal, refuse, refused } from "../../shared/dye/refusal.ts";
import type { PlanPour } from "../../shared/plan/plan.ts";
import type { Shelf } from "../../shared/shelf/shelf.ts";

export type PlanAmount = PlanPour["amount"];

/** What an amount's text came to: an amount, a question with its readings, or a sentence. */
export type ReadAmount =
  | { ok: true; amount: PlanAmount; understood: string }
  | { ok: false; ask: string; readings: readonly string[] }
  | ({ ok: false } & Refusal);

/**
 * Reads the amount of a pour: "12 mL" or "12" by volume, "0.8 %" by depth of shade, "10 drops" with
 * the dropper that was calibrated on the shelf, "0.5 g" of dry powder.
 *
 * @param powder whether it is dry powder that is poured, where a bare number is grams
 */
export function readAmount(text: string, powder: boolean, shelf: Shelf): ReadAmount {
  const typed = text.trim();
  if (typed === "")
    return { ok: false, ...refuse("amount.none", "How much? Such as 12 mL or 0.8 %.") };
  const counted = /^(\d{1,5})\s*(?:drops?|dr)$/i.exec(typed);
  if (counted) return drops(Number(counted[1]), shelf);
  if (/%|per ?cent|pct/i.test(typed)) {
    if (powder) {
      const say = "Dry powder goes by its mass: write grams, such as 0.5 g.";
      return { ok: false, ...refuse("amount.powder", say) };
    }
    return taken(readQuantity(typed, { kind: "percent", max: 100 }), (pct) => ({
      by: "depth",
      pct,
    }));
  }
  if (powder) return taken(readQuantity(typed, { kind: "mass" }), mass);
  const read = readQuantity(typed, { kind: "volume" });
  if (refused(read)) {
    const weighed = readQuantity(typed, { kind: "mass" });
    if ("ok" in weighed && weighed.ok) {
      const say =
        "A bottle pours by volume, by depth or by drops. For dry powder choose the powder.";
      return { ok: false, ...refuse("amount.mass", say) };
    }
  }
  return taken(read, (volumeUl) => ({ by: "volume", volumeUl, how: "measured", plusMinusUl: 0 }));
}

const mass = (massUg: number): PlanAmount => ({
  by: "mass",
  massUg,
  how: "measured",
  plusMinusUg: 0,
});

function taken(
  read: ReturnType<typeof readQuantity>,
  amountOf: (value: number) => PlanAmount,
): ReadAmount {
  if ("ask" in read) {
    const readings = read.readings.map((one: Understood) => one.understood);
    return { ok: false, ask: read.ask, readings };
  }
  if (refused(read)) return { ok: false, ...read };
  return { ok: true, amount: amountOf(read.value), understood: read.understood };
}

function drops(count: number, shelf: Shelf): ReadAmount {
  const dropper = shelf.tools.find(
    ({ tool, retired }) => !retired && tool.kind === "dropper" && tool.dropUl !== undefined,
  );
  const dropUl = dropper?.tool.kind === "dropper" ? dropper.tool.dropUl : undefined;
  if (dropUl === undefined) {
    const say = "Drops differ. Calibrate a dropper first: on the shelf, among the tools.";
    return { ok: false, ...refuse("amount.dropper", say) };
  }
  if (count < 1 || count > 10_000) {
    return { ok: false, ...refuse("amount.drops", "Between 1 and 10,000 drops.") };
  }
  const understood = `${count} drops, ${showVolume(count * dropUl)}`;
  return { ok: true, amount: { by: "drops", drops: count, dropUl }, understood };
}

/** An amount as it would be typed. */
export function amountText(amount: PlanAmount): string {
  switch (amount.by) {
    case "volume":
      return quantityText(amount.volumeUl, { kind: "volume" });
    case "depth":
      return `${amount.pct} %`;
    case "drops":
      return `${amount.drops} drops`;
    case "mass":
      return quantityText(amount.massUg, { kind: "mass" });
  }
}

/** An amount as it is read. */
export function showAmountOf(amount: PlanAmount): string {
  switch (amount.by) {
    case "volume":
      return showVolume(amount.volumeUl);
    case "depth":
      return showDepth(amount.pct);
    case "drops":
      return `${amount.drops} drops`;
    case "mass":
      return showMass(amount.massUg);
  }
}
