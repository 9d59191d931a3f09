import { describe, expect, test } from "vitest";
import { difference } from "../../shared/colour/difference.ts";
import { OBSERVER, xyzOfReflectance } from "../../shared/colour/observer.ts";
import { spectrumOf } from "../../shared/colour/spectrum.ts";
import { labOfXyz, shownXyz, WHITE } from "../../shared/colour/tone.ts";
import { d65White, observerRows, sumsTo700, sumsTo780 } from "../reference/colour.ts";

function sums(from: number, to: number) {
  const rows = observerRows.filter(([nm = 0]) => nm >= from && nm <= to);
  const sum = (channel: number) =>
    rows.reduce((total, row) => total + (row[channel] ?? 0) * (row[4] ?? 0), 0);
  const y = sum(2);
  return { x: (100 * sum(1)) / y, y: 100, z: (100 * sum(3)) / y };
}

describe("the observer and the illuminant", () => {
  test("are the published table, 400 to 700 nm", () => {
    const published = observerRows.filter(([nm = 0]) => nm >= 400 && nm <= 700);
    expect(OBSERVER).toEqual(published.map((row) => row.slice(1)));
  });

  test.each([
    [400, 700, sumsTo700],
    [380, 780, sumsTo780],
  ])("sum from %i to %i nm to the published white", (from, to, published) => {
    const summed = sums(from, to);
    expect(summed.x).toBeCloseTo(published.x, 2);
    expect(summed.z).toBeCloseTo(published.z, 2);
  });
});

describe("a reflectance", () => {
  test("of 1 everywhere has the library's white, which is D65 as published", () => {
    const { x, y, z } = xyzOfReflectance(spectrumOf(() => 1));
    expect(x).toBeCloseTo(WHITE.x, 12);
    expect(y).toBeCloseTo(WHITE.y, 12);
    expect(z).toBeCloseTo(WHITE.z, 12);
    expect(Math.abs(WHITE.x - d65White.x)).toBeLessThan(3e-4);
    expect(Math.abs(WHITE.z - d65White.z)).toBeLessThan(3e-4);
    expect(shownXyz({ x, y, z })).toEqual({ hex: "#ffffff", inGamut: true });
  });

  test.each([0.9, 0.5, 0.18, 0.03])("of %f everywhere is a neutral grey", (share) => {
    const { l, a, b } = labOfXyz(xyzOfReflectance(spectrumOf(() => share)));
    expect(Math.abs(a)).toBeLessThan(1e-9);
    expect(Math.abs(b)).toBeLessThan(1e-9);
    expect(difference({ l, a, b }, { l, a: 0, b: 0 })).toBeLessThan(1e-9);
  });
});
