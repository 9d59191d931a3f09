import { readFileSync } from "node:fs";

/** Rows of numbers of a comma-separated file beside this one; comments and the heading left out. */
function rowsOf(name: string): number[][] {
  return readFileSync(new URL(name, import.meta.url), "utf8")
    .split("\n")
    .filter((line) => /^-?\d/.test(line))
    .map((line) => line.split(",").map(Number));
}

/**
 * nm, x, y, z of the 1931 2 degree observer, and D65: ISO/CIE 11664-1 and 11664-2, CIE 15; every 10 nm,
 * 380 to 780 nm.
 */
export const observerRows = rowsOf("cie-1931-2deg-d65-10nm.csv");

/**
 * L*, a*, b* of two colours and their CIEDE2000: Sharma, Wu and Dalal, Color Research & Application
 * 30(1), 2005, Table 1.
 */
export const sharmaRows = rowsOf("ciede2000-sharma-2005.csv");

/** White of D65 for this observer, X, Y, Z to five figures (ASTM E308, the usual rounding). */
export const d65White = { x: 0.95047, y: 1, z: 1.08883 };

/** Sums of x, y, z times D65 of the 10 nm table from 400 to 700 nm, Y as 100. */
export const sumsTo700 = { x: 94.94, y: 100, z: 108.71 };
/** The same from 380 to 780 nm. */
export const sumsTo780 = { x: 95.02, y: 100, z: 108.81 };
