import {
  converter,
  filterDeficiencyDeuter,
  filterDeficiencyProt,
  filterDeficiencyTrit,
  modeLab65,
  modeRgb,
  useMode,
} from "culori/fn";
import { difference } from "./difference.ts";

useMode(modeRgb);
useMode(modeLab65);

/** The three common ways in which an eye lacks a cone: of long, middle or short waves. */
export const VISIONS = ["protan", "deutan", "tritan"] as const;
export type Vision = (typeof VISIONS)[number];

const toLab = converter("lab65");
const filters = {
  protan: filterDeficiencyProt(1),
  deutan: filterDeficiencyDeuter(1),
  tritan: filterDeficiencyTrit(1),
};

/**
 * CIEDE2000 of two screen colours for an eye that lacks a cone wholly: Machado, Oliveira and
 * Fernandes, "A physiologically-based model for simulation of color vision deficiency", IEEE
 * Transactions on Visualization and Computer Graphics 15(6), 2009, as the colour library has it.
 *
 * @param a `#rrggbb`
 * @param b `#rrggbb`
 */
export function differenceSeenBy(vision: Vision, a: string, b: string): number {
  return difference(seen(vision, a), seen(vision, b));
}

function seen(vision: Vision, hex: string) {
  const filtered = filters[vision](toRgb(hex) ?? { mode: "rgb", r: 0, g: 0, b: 0 });
  const { l, a, b } = toLab(filtered);
  return { l, a, b };
}

const toRgb = converter("rgb");
