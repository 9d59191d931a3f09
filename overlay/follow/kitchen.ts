import { THIN_SPACE } from "../../shared/dye/display.ts";
import { ozFromUg, TEASPOON_UL, usFlOzFromUl } from "../../shared/dye/units.ts";

/** The smallest spoon, uL; what is less, none measures. */
const leastSpoonedUl = TEASPOON_UL / 8;
/** Above this a spoon is no measure any more, uL: 12 teaspoons. */
const mostSpoonedUl = 60_000;
/** Below this an ounce of liquid says nothing, uL. */
const leastOunceUl = 15_000;
const eighths = ["", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"];

/**
 * An amount in teaspoons and ounces, for those who have nothing else: "about 1 1/2 tsp", "1.27 fl
 * oz", "0.53 oz"; nothing for less liquid than the smallest spoon holds. A teaspoon is the labelled one of 5 mL (21 CFR 101.9), to the nearest eighth; a
 * fluid ounce is the US one of 29.57 mL (NIST Handbook 44), an ounce the avoirdupois one of 28.35 g
 * (NIST SP 811).
 *
 * @param amount uL or ug, 0 or more
 */
export function sayKitchen(of: "volume" | "mass", amount: number): string {
  if (of === "mass") return `${figure(ozFromUg(amount))}${THIN_SPACE}oz`;
  const said: string[] = [];
  if (amount >= leastSpoonedUl && amount <= mostSpoonedUl) said.push(saySpoons(amount));
  if (amount >= leastOunceUl)
    said.push(`${figure(usFlOzFromUl(amount))}${THIN_SPACE}fl${THIN_SPACE}oz`);
  return said.join(", ");
}

function saySpoons(volumeUl: number): string {
  const parts = Math.round((volumeUl / TEASPOON_UL) * 8);
  const whole = Math.floor(parts / 8);
  const part = eighths[parts % 8] ?? "";
  const spoons = [...(whole > 0 ? [String(whole)] : []), ...(part === "" ? [] : [part])].join(" ");
  const about = (parts * TEASPOON_UL) / 8 === volumeUl ? "" : "about ";
  return `${about}${spoons}${THIN_SPACE}tsp`;
}

/** Two decimals, and no fewer than two figures. */
function figure(ounces: number): string {
  return ounces === 0 || ounces >= 0.1
    ? ounces.toFixed(2)
    : Number(ounces.toPrecision(2)).toString();
}
