import type { DepthRange, PowderAmount, VolumeAmount } from "./amount.ts";

/**
 * Figures as they are read on screen. Rounding here is for the eye only and never feeds back into
 * an amount.
 */
export type Parts = { readonly figure: string; readonly unit: string };

/** Narrow no-break space, between a figure and its unit. */
export const THIN_SPACE = "\u202F";
export const MINUS = "\u2212";

/**
 * A volume, uL, as figure and unit: up to 2 decimals below 10 mL, 1 below 1,000 mL, none above, no
 * trailing zeros. Below 0.01 mL a third decimal, so that a trace is never shown as nothing.
 */
export function volumeParts(volumeUl: number): Parts {
  const size = Math.abs(volumeUl);
  const stepUl = size < 10 ? 1 : size < 10_000 ? 10 : size < 1_000_000 ? 100 : 1_000;
  return { figure: signed(volumeUl, plain(toStep(size, stepUl), 1_000)), unit: "mL" };
}

/** A volume, uL, as text: "37.5 mL", "0.05 mL", "1,250 mL". */
export function showVolume(volumeUl: number): string {
  return joined(volumeParts(volumeUl));
}

/** A volume that is not sure, uL: "about 12 mL". */
export function showAbout(volumeUl: number): string {
  return `about ${showVolume(volumeUl)}`;
}

/** A doubt in a volume, uL: "± 2 mL". */
export function showPlusMinus(plusMinusUl: number): string {
  return `±${THIN_SPACE}${showVolume(plusMinusUl)}`;
}

/** A change of volume, uL, with its sign: "+5 mL", "−1 mL". */
export function showChange(volumeUl: number): string {
  return volumeUl > 0 ? `+${showVolume(volumeUl)}` : showVolume(volumeUl);
}

/**
 * An amount as viewers see it: "37.5 mL" when it was measured, "about 12 mL" until it is; drops are
 * said first where they were counted ("12 drops, about 0.6 mL").
 */
export function showAmount(amount: VolumeAmount): string {
  const sure = amount.how === "measured" && amount.plusMinusUl === 0;
  const volume = sure ? showVolume(amount.volumeUl) : showAbout(amount.volumeUl);
  if (amount.drops === undefined) return volume;
  return `${showCount(amount.drops, "drop")}, ${volume}`;
}

/** As `showAmount`, with the doubt where there is one: "about 12 mL ± 2 mL". */
export function showAmountInFull(amount: VolumeAmount): string {
  const text = showAmount(amount);
  return amount.plusMinusUl > 0 ? `${text} ${showPlusMinus(amount.plusMinusUl)}` : text;
}

/** Dry powder, as `showAmountInFull`: "about 2 g ± 0.5 g". */
export function showPowder(amount: PowderAmount): string {
  const sure = amount.how === "measured" && amount.plusMinusUg === 0;
  const text = sure ? showMass(amount.massUg) : `about ${showMass(amount.massUg)}`;
  if (amount.plusMinusUg <= 0) return text;
  return `${text} ±${THIN_SPACE}${showMass(amount.plusMinusUg)}`;
}

/**
 * A depth of shade, % owf, as figure and unit: 2 decimals, 3 below 0.1, "0" for none at all.
 */
export function depthParts(pct: number): Parts {
  const size = Math.abs(pct);
  if (size === 0) return { figure: "0", unit: "%" };
  const decimals = halfUp(size, 3) < 0.1 ? 3 : 2;
  const shown = halfUp(size, decimals);
  if (shown === 0) return { figure: "under 0.001", unit: "%" };
  return { figure: signed(pct, shown.toFixed(decimals)), unit: "%" };
}

/** A depth of shade, % owf, as text: "0.78 %". */
export function showDepth(pct: number): string {
  return joined(depthParts(pct));
}

/**
 * A depth with its doubt, % owf: "0.78 %", or "about 0.78 %" where the doubt is large enough to be
 * seen. Bounds a ug apart, as every exact dose has, are not.
 */
export function showDepthRange(range: DepthRange): string {
  const sure =
    range.highPct - range.lowPct < 0.0005 ||
    depthParts(range.lowPct).figure === depthParts(range.highPct).figure;
  return sure ? showDepth(range.pct) : `about ${showDepth(range.pct)}`;
}

/**
 * A mass, ug, as figure and unit: mg below a gram (up to 2 decimals below 10 mg, 1 below 100 mg),
 * else g (up to 2 decimals below 100 g, 1 below 1,000 g, none above), no trailing zeros.
 */
export function massParts(massUg: number): Parts {
  const size = Math.abs(massUg);
  if (size < 999_500) {
    const stepUg = size < 10 ? 1 : size < 10_000 ? 10 : size < 100_000 ? 100 : 1_000;
    return { figure: signed(massUg, plain(toStep(size, stepUg), 1_000)), unit: "mg" };
  }
  const stepUg = size < 100_000_000 ? 10_000 : size < 1_000_000_000 ? 100_000 : 1_000_000;
  return { figure: signed(massUg, plain(toStep(size, stepUg), 1_000_000)), unit: "g" };
}

/** A mass, ug, as text: "1.25 g", "750 mg". */
export function showMass(massUg: number): string {
  return joined(massParts(massUg));
}

/** A strength, % w/v, as text: "1 %", "0.5 %"; up to 2 decimals, 3 below 1, no trailing zeros. */
export function showStrength(pct: number): string {
  const shown = halfUp(pct, pct < 1 ? 3 : 2);
  const figure = pct > 0 && shown === 0 ? "under 0.001" : String(shown);
  return joined({ figure, unit: "%" });
}

/** A temperature, degrees Celsius, to the whole degree: "85 °C". */
export function showCelsius(celsius: number): string {
  const whole = halfUp(Math.abs(celsius), 0);
  return `${signed(whole === 0 ? 0 : celsius, String(whole))}${THIN_SPACE}°C`;
}

/** A count and its noun, with the s that more than one takes: "1 drop", "12 drops". */
export function showCount(count: number, noun: string): string {
  return `${grouped(count)} ${count === 1 ? noun : `${noun}s`}`;
}

function joined({ figure, unit }: Parts): string {
  return `${figure}${THIN_SPACE}${unit}`;
}

function signed(value: number, figure: string): string {
  return value < 0 && figure !== "0" ? `${MINUS}${figure}` : figure;
}

function toStep(size: number, step: number): number {
  return Math.floor(size / step + 0.5) * step;
}

function halfUp(size: number, decimals: number): number {
  const scale = 10 ** decimals;
  // A tie such as 1.005 sits a hair below itself in binary; the hair is given back before rounding.
  return Math.floor(size * scale * (1 + 4 * Number.EPSILON) + 0.5) / scale;
}

function plain(size: number, perUnit: number): string {
  const whole = Math.floor(size / perUnit);
  const rest = Math.round(size - whole * perUnit);
  const decimals = String(perUnit + rest)
    .slice(1)
    .replace(/0+$/, "");
  return decimals === "" ? grouped(whole) : `${grouped(whole)}.${decimals}`;
}

function grouped(whole: number): string {
  return String(whole).replace(/\B(?=(\d{3})+$)/g, ",");
}
