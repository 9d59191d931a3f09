import type { Lab } from "./tone.ts";

const TO_RADIANS = Math.PI / 180;
const TWENTY_FIVE_TO_7 = 25 ** 7;

/** Total colour difference CIEDE2000 of two colours, with all weights 1. */
export function difference(a: Lab, b: Lab): number {
  return Math.sqrt(squaredDifference(a.l, a.a, a.b, b.l, b.a, b.b));
}

/**
 * CIEDE2000 squared, from plain numbers, for searches that ask it a million times: ISO/CIE 11664-6,
 * as set out by Sharma, Wu and Dalal, "The CIEDE2000 color-difference formula", Color Research &
 * Application 30(1), 2005, equations 2 to 22.
 */
export function squaredDifference(
  l1: number,
  a1: number,
  b1: number,
  l2: number,
  a2: number,
  b2: number,
): number {
  const chroma = (Math.sqrt(a1 * a1 + b1 * b1) + Math.sqrt(a2 * a2 + b2 * b2)) / 2;
  const chroma7 = seventh(chroma);
  const stretch = 1.5 - 0.5 * Math.sqrt(chroma7 / (chroma7 + TWENTY_FIVE_TO_7));
  const x1 = a1 * stretch;
  const x2 = a2 * stretch;
  const c1 = Math.sqrt(x1 * x1 + b1 * b1);
  const c2 = Math.sqrt(x2 * x2 + b2 * b2);

  const dL = l2 - l1;
  const dC = c2 - c1;
  const meanL = (l1 + l2) / 2 - 50;
  const meanC = (c1 + c2) / 2;
  let meanH = 0;
  let dH = 0;
  if (c1 === 0 || c2 === 0) {
    meanH = hue(x1, b1) + hue(x2, b2);
  } else {
    const h1 = hue(x1, b1);
    const h2 = hue(x2, b2);
    let turn = h2 - h1;
    meanH = (h1 + h2) / 2;
    if (turn > Math.PI) {
      turn -= 2 * Math.PI;
      meanH += meanH < Math.PI ? Math.PI : -Math.PI;
    } else if (turn < -Math.PI) {
      turn += 2 * Math.PI;
      meanH += meanH < Math.PI ? Math.PI : -Math.PI;
    }
    dH = 2 * Math.sqrt(c1 * c2) * Math.sin(turn / 2);
  }

  const t =
    1 -
    0.17 * Math.cos(meanH - 30 * TO_RADIANS) +
    0.24 * Math.cos(2 * meanH) +
    0.32 * Math.cos(3 * meanH + 6 * TO_RADIANS) -
    0.2 * Math.cos(4 * meanH - 63 * TO_RADIANS);
  const mean7 = seventh(meanC);
  const off = (meanH / TO_RADIANS - 275) / 25;
  const rotation =
    -Math.sin(60 * TO_RADIANS * Math.exp(-off * off)) *
    2 *
    Math.sqrt(mean7 / (mean7 + TWENTY_FIVE_TO_7));
  const l = dL / (1 + (0.015 * meanL * meanL) / Math.sqrt(20 + meanL * meanL));
  const c = dC / (1 + 0.045 * meanC);
  const h = dH / (1 + 0.015 * meanC * t);
  return Math.max(0, l * l + c * c + h * h + rotation * c * h);
}

function hue(x: number, y: number): number {
  if (x === 0 && y === 0) return 0;
  const h = Math.atan2(y, x);
  return h < 0 ? h + 2 * Math.PI : h;
}

function seventh(c: number): number {
  const c3 = c * c * c;
  return c3 * c3 * c;
}
