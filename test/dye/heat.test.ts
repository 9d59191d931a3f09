import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  boilingCelsius,
  boilingCelsiusAt,
  coolSeconds,
  efficiencyFrom,
  type Heating,
  heatSeconds,
  pressureKpaAt,
  WATER_J_PER_KG_K,
} from "../../shared/dye/heat.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { BOILING, IF97_CHECK, PRESSURE_AT, SPECIFIC_HEAT } from "../reference/water.ts";
import { RUNS } from "./arbitrary.ts";

const bath: Heating = {
  bathUl: 4_000_000,
  fibreUg: 100_000_000,
  panUg: 1_500_000_000,
  metal: "stainless",
  fromCelsius: 20,
  toCelsius: 85,
  roomCelsius: 20,
  lid: true,
  ringWatts: 2_000,
  efficiency: 0.6,
};

const seconds = (heating: Heating) => {
  const answer = heatSeconds(heating);
  if (refused(answer)) throw new Error(answer.say);
  return answer;
};

describe("where water boils", () => {
  test.each(PRESSURE_AT)(
    "at $metres m the air presses with $kPa kPa ($source)",
    ({ metres, kPa }) => {
      expect(pressureKpaAt(metres)).toBeCloseTo(kPa, 2);
    },
  );

  test.each(BOILING)("$kPa kPa is $celsius C ($source)", ({ kPa, celsius, decimals }) => {
    expect(boilingCelsiusAt(kPa)).toBeCloseTo(celsius, decimals);
  });

  test.each(IF97_CHECK)("$MPa MPa is $kelvin K, the formulation's own check", ({ MPa, kelvin }) => {
    expect(boilingCelsiusAt(MPa * 1_000) + 273.15).toBeCloseTo(kelvin, 5);
  });

  test("1,500 m is 95 C and 3,000 m is 90 C", () => {
    expect(boilingCelsius(1_500)).toBeCloseTo(95, 1);
    expect(boilingCelsius(3_000)).toBeCloseTo(90, 1);
  });
});

describe("warming a bath", () => {
  test("the specific heat of water is the published one", () => {
    expect(WATER_J_PER_KG_K / 1_000).toBeGreaterThanOrEqual(SPECIFIC_HEAT.leastKjPerKgK);
    expect(WATER_J_PER_KG_K / 1_000).toBeLessThanOrEqual(SPECIFIC_HEAT.mostKjPerKgK);
  });

  test("a litre of water by 10 degrees takes 41.85 kJ, worked by hand, and a little for the loss", () => {
    const litre = {
      ...bath,
      bathUl: 1_000_000,
      fibreUg: 0,
      panUg: 0,
      toCelsius: 30,
      ringWatts: 1_000,
      efficiency: 1,
    };
    expect(seconds(litre)).toBeGreaterThanOrEqual(41.85);
    expect(seconds(litre)).toBeLessThanOrEqual(43);
  });

  test("pan and yarn count: 4 L, 1.5 kg of steel and 100 g of wool by 65 degrees need 1,145 kJ", () => {
    // (4 x 4.185 + 0.1 x 1.36 + 1.5 x 0.5) x 65 = 1,145.7 kJ; at 1,200 W that is 955 s without loss.
    expect(seconds(bath)).toBeGreaterThan(955);
    expect(seconds(bath)).toBeLessThan(955 * 1.1);
  });

  test("the closed form is what stepping through the balance gives", () => {
    // Walls and lid of a cylinder as wide as high, 10 W/(m2 K), worked apart from the code.
    const width = ((4 * (0.004 + 0.1 / 1_310)) / Math.PI) ** (1 / 3);
    const k = 10 * Math.PI * width ** 2 * 1.25;
    const capacity = 4 * 4_185 + 0.1 * 1_360 + 1.5 * 500;
    let [celsius, time] = [20, 0];
    for (; celsius < 85; time += 0.1) celsius += (0.1 * (1_200 - k * (celsius - 20))) / capacity;
    expect(Math.abs(seconds(bath) - time)).toBeLessThanOrEqual(1.2);
  });

  test("an open pan takes longer, and a weak ring never gets there", () => {
    expect(seconds({ ...bath, lid: false })).toBeGreaterThan(seconds(bath));
    expect(heatSeconds({ ...bath, lid: false, ringWatts: 200 })).toMatchObject({
      code: "heat.never",
    });
  });

  test("a ramp of 1 degree a minute decides where the ring would be faster", () => {
    expect(seconds({ ...bath, rampPerMin: 1 })).toBe(65 * 60);
    expect(seconds({ ...bath, rampPerMin: 100 })).toBe(seconds(bath));
  });

  test("an empty pan is neither warmed nor cooled", () => {
    const empty = { ...bath, bathUl: 0, fibreUg: 0 };
    expect(heatSeconds(empty)).toMatchObject({ code: "heat.nothing" });
    const cooling = { ...empty, fromCelsius: 80, toCelsius: 40 };
    expect(coolSeconds(cooling)).toMatchObject({ code: "heat.nothing" });
  });

  test("a bath that is warm already takes no time, and a ring of 0 W is refused", () => {
    expect(heatSeconds({ ...bath, fromCelsius: 90 })).toBe(0);
    expect(heatSeconds({ ...bath, ringWatts: 0 })).toMatchObject({ code: "heat.noPower" });
  });

  const heatings = fc.record({
    bathUl: fc.integer({ min: 200_000, max: 20_000_000 }),
    fibreUg: fc.integer({ min: 0, max: 1_000_000_000 }),
    panUg: fc.integer({ min: 0, max: 5_000_000_000 }),
    metal: fc.constantFrom("stainless" as const, "aluminium" as const, "enamelled" as const),
    fromCelsius: fc.integer({ min: 5, max: 60 }),
    toCelsius: fc.integer({ min: 61, max: 99 }),
    roomCelsius: fc.integer({ min: 5, max: 30 }),
    lid: fc.boolean(),
    ringWatts: fc.integer({ min: 500, max: 3_500 }),
    efficiency: fc.integer({ min: 30, max: 100 }).map((pct) => pct / 100),
  });

  test("one timed heating gives the ring's efficiency back", () => {
    fc.assert(
      fc.property(heatings, (heating) => {
        const time = heatSeconds(heating);
        fc.pre(!refused(time));
        const found = efficiencyFrom({ ...heating, efficiency: 1 }, time as number);
        if (refused(found)) throw new Error(found.say);
        // The time was rounded up to a second, so that the efficiency comes out a trace lower.
        expect(found).toBeLessThanOrEqual(heating.efficiency * (1 + 1e-9));
        const again = seconds({ ...heating, efficiency: found });
        expect(Math.abs(again - (time as number))).toBeLessThanOrEqual(1);
      }),
      RUNS,
    );
  });

  test("more water, a higher goal or less power never takes less time", () => {
    fc.assert(
      fc.property(heatings, fc.integer({ min: 1, max: 500_000 }), (heating, more) => {
        const base = heatSeconds(heating);
        fc.pre(!refused(base));
        const time = (change: Partial<Heating>) => {
          const answer = heatSeconds({ ...heating, ...change });
          return refused(answer) ? Number.POSITIVE_INFINITY : answer;
        };
        expect(time({ bathUl: heating.bathUl + more })).toBeGreaterThanOrEqual(base as number);
        expect(time({ toCelsius: heating.toCelsius + 1 })).toBeGreaterThanOrEqual(base as number);
        expect(time({ ringWatts: heating.ringWatts - 100 })).toBeGreaterThanOrEqual(base as number);
      }),
      RUNS,
    );
  });

  test("a time that no ring of that power could have made is refused", () => {
    expect(efficiencyFrom(bath, 60)).toMatchObject({ code: "heat.tooFast" });
    expect(efficiencyFrom(bath, 0)).toMatchObject({ code: "heat.noTiming" });
  });
});

describe("a bath left to cool", () => {
  test("takes hours under a lid, never below the room", () => {
    const cooling = { ...bath, fromCelsius: 85, toCelsius: 40 };
    const time = coolSeconds(cooling);
    expect(time).toBeGreaterThan(3 * 3_600);
    expect(time).toBeLessThan(10 * 3_600);
    expect(coolSeconds({ ...cooling, toCelsius: 20 })).toMatchObject({ code: "heat.belowRoom" });
    expect(coolSeconds({ ...cooling, toCelsius: 90 })).toBe(0);
  });
});
