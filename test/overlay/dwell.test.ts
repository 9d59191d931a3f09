import { describe, expect, test } from "vitest";
import { dwell, mostStrips, noStrips, type Strips } from "../../overlay/broadcast/dwell.ts";
import { CAUTIONS, shortDeferral } from "../../shared/cautions/cautions.ts";
import { HAZARDS, type Hazard } from "../../shared/cautions/hazards.ts";
import { readMs } from "../../shared/cautions/read.ts";

function names({ shown }: Strips): Hazard[] {
  return shown.map(({ hazard }) => hazard);
}

/** How long these cautions take to read together with what they defer to, ms. */
function readingMs(...hazards: Hazard[]): number {
  return readMs([...hazards.map((hazard) => CAUTIONS[hazard].line), shortDeferral].join(" "));
}

describe("cautions on screen", () => {
  test("stay while their step lasts", () => {
    let strips = dwell(noStrips, ["steam"], 0);
    for (let now = 0; now <= 3_600_000; now += 10_000) strips = dwell(strips, ["steam"], now);
    expect(names(strips)).toEqual(["steam"]);
  });

  test("stay until they can have been read when their step goes by at once", () => {
    const start = dwell(noStrips, ["acid"], 0);
    expect(names(dwell(start, [], readingMs("acid") - 1))).toEqual(["acid"]);
    expect(names(dwell(start, [], readingMs("acid")))).toEqual([]);
  });

  test("that come together are given the time to read them all", () => {
    const start = dwell(noStrips, ["steam", "hotBath", "childrenAndPets"], 0);
    const all = readingMs("steam", "hotBath", "childrenAndPets");
    expect(names(dwell(start, [], all - 1))).toHaveLength(3);
    expect(names(dwell(start, [], all))).toEqual([]);
  });

  test("are never more than three at once", () => {
    expect(names(dwell(noStrips, HAZARDS, 0))).toEqual(["dryPowder", "acid", "steam"]);
  });

  test("take turns when there are more, each long enough and none left out", () => {
    let strips = noStrips;
    const up = new Map<Hazard, number>();
    const seen = new Set<Hazard>();
    for (let now = 0; now < 120_000; now += 250) {
      const next = dwell(strips, HAZARDS, now);
      expect(next.shown.length).toBeLessThanOrEqual(mostStrips);
      for (const hazard of names(next)) {
        seen.add(hazard);
        if (!names(strips).includes(hazard)) up.set(hazard, now);
      }
      for (const hazard of names(strips)) {
        if (names(next).includes(hazard)) continue;
        expect(now - (up.get(hazard) ?? 0)).toBeGreaterThanOrEqual(readMs(CAUTIONS[hazard].line));
      }
      strips = next;
    }
    expect([...seen].sort()).toEqual([...HAZARDS].sort());
  });

  test("of a new step take the place of those whose step has ended and that were read", () => {
    let strips = dwell(noStrips, ["steam", "hotBath", "childrenAndPets"], 0);
    strips = dwell(strips, ["dryPowder", "hotBath", "childrenAndPets"], 1_000);
    expect(names(strips)).toEqual(["steam", "hotBath", "childrenAndPets"]);
    strips = dwell(strips, ["dryPowder", "hotBath", "childrenAndPets"], 60_000);
    expect(names(strips).sort()).toEqual(["childrenAndPets", "dryPowder", "hotBath"]);
  });
});
