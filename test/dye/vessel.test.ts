import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { leftover } from "../../shared/dye/leftover.ts";
import {
  addLiquor,
  addMasses,
  type DyeMasses,
  draw,
  type Liquor,
  left,
  massOf,
  pourIn,
  shareLiquor,
  totalUg,
  type Vessel,
  vesselOf,
} from "../../shared/dye/vessel.ts";
import { dyeIds, liquors, masses, RUNS } from "./arbitrary.ts";

function sumOf(all: readonly Liquor[]): Liquor {
  return all.reduce(addLiquor, { volumeUl: 0, dyes: {} });
}

function sameDyes(a: DyeMasses, b: DyeMasses): boolean {
  return dyeIds.every((dye) => massOf(a, dye) === massOf(b, dye));
}

describe("a vessel", () => {
  test("gives dye up in its own ratio of mass to volume", () => {
    const bottle = vesselOf({ volumeUl: 250_000, dyes: { saltmarsh: 2_500_000 } });
    const { vessel, drawn } = draw(bottle, 37_500);
    expect(drawn).toEqual({ volumeUl: 37_500, dyes: { saltmarsh: 375_000 } });
    expect(left(vessel)).toEqual({ volumeUl: 212_500, dyes: { saltmarsh: 2_125_000 } });
  });

  test("gives everything when everything is drawn, and then nothing more", () => {
    const { vessel, drawn } = draw(vesselOf({ volumeUl: 3, dyes: { lantern: 10 } }), 3);
    expect(drawn.dyes).toEqual({ lantern: 10 });
    expect(left(vessel)).toEqual({ volumeUl: 0, dyes: { lantern: 0 } });
    expect(draw(vessel, 0).drawn.dyes).toEqual({ lantern: 0 });
  });

  test("refuses more than it holds, less than nothing, and parts of a uL", () => {
    const bottle = draw(vesselOf({ volumeUl: 100, dyes: {} }), 60).vessel;
    expect(() => draw(bottle, 41)).toThrow(RangeError);
    expect(() => draw(bottle, -1)).toThrow(RangeError);
    expect(() => draw(bottle, 0.5)).toThrow(RangeError);
    expect(() => draw(bottle, Number.NaN)).toThrow(RangeError);
    expect(left(draw(bottle, 40).vessel).volumeUl).toBe(0);
  });

  test("keeps powder that has no water yet, and gives it up once there is", () => {
    const dry = vesselOf({ volumeUl: 0, dyes: { slipway: 500 } });
    expect(draw(dry, 0).drawn.dyes).toEqual({ slipway: 0 });
    const wet = pourIn(dry, { volumeUl: 50_000, dyes: {} });
    expect(draw(wet, 25_000).drawn.dyes).toEqual({ slipway: 250 });
  });

  test("has a new strength after it is topped up, from what it held then", () => {
    const half = draw(vesselOf({ volumeUl: 100_000, dyes: { lantern: 1_000_000 } }), 50_000).vessel;
    const weaker = pourIn(half, { volumeUl: 50_000, dyes: {} });
    expect(draw(weaker, 10_000).drawn.dyes).toEqual({ lantern: 50_000 });
  });

  test("does not drift: after any draws each dye is within half a ug of the exact ratio", () => {
    fc.assert(
      fc.property(liquors, fc.array(fc.nat(1_000_000), { maxLength: 40 }), (made, wanted) => {
        let vessel = vesselOf(made);
        const out: Liquor[] = [];
        for (const want of wanted) {
          const step = draw(vessel, want % (left(vessel).volumeUl + 1));
          vessel = step.vessel;
          out.push(step.drawn);
          for (const dye of dyeIds) {
            const ug = BigInt(massOf(step.drawn.dyes, dye)) * BigInt(made.volumeUl);
            const exact = BigInt(massOf(made.dyes, dye)) * BigInt(step.drawn.volumeUl);
            const off = ug - exact;
            expect(off <= BigInt(made.volumeUl) && -off <= BigInt(made.volumeUl)).toBe(true);
          }
        }
        const gone = sumOf(out);
        for (const dye of dyeIds) {
          const twice = 2n * BigInt(massOf(gone.dyes, dye)) * BigInt(made.volumeUl);
          const exact = 2n * BigInt(massOf(made.dyes, dye)) * BigInt(gone.volumeUl);
          const off = twice > exact ? twice - exact : exact - twice;
          expect(off <= BigInt(made.volumeUl)).toBe(true);
        }
        const rest = draw(vessel, left(vessel).volumeUl).drawn;
        if (made.volumeUl > 0) expect(sameDyes(sumOf([gone, rest]).dyes, made.dyes)).toBe(true);
      }),
      RUNS,
    );
  });

  test("one draw of all that several drew takes the same dye", () => {
    fc.assert(
      fc.property(
        liquors,
        fc.array(fc.nat(100), { minLength: 1, maxLength: 20 }),
        (made, parts) => {
          const whole = parts.reduce((sum, part) => sum + part, 0);
          fc.pre(whole > 0);
          const portions = parts.map((part) => Math.floor((made.volumeUl * part) / whole));
          let vessel = vesselOf(made);
          const drawn = portions.map((portion) => {
            const step = draw(vessel, portion);
            vessel = step.vessel;
            return step.drawn;
          });
          const several = sumOf(drawn);
          const once = draw(vesselOf(made), several.volumeUl).drawn;
          expect(sameDyes(once.dyes, several.dyes)).toBe(true);
        },
      ),
      RUNS,
    );
  });
});

type Act =
  | { kind: "move"; from: number; to: number; part: number }
  | { kind: "topUp"; to: number; liquor: Liquor }
  | { kind: "offer"; from: number; part: number; weights: number[] }
  | { kind: "tip"; from: number; part: number };

const acts: fc.Arbitrary<Act> = fc.oneof(
  fc.record({
    kind: fc.constant("move" as const),
    from: fc.nat(3),
    to: fc.nat(3),
    part: fc.nat(1000),
  }),
  fc.record({ kind: fc.constant("topUp" as const), to: fc.nat(3), liquor: liquors }),
  fc.record({
    kind: fc.constant("offer" as const),
    from: fc.nat(3),
    part: fc.nat(1000),
    weights: fc.array(fc.integer({ min: 1, max: 200_000_000 }), { minLength: 1, maxLength: 6 }),
  }),
  fc.record({ kind: fc.constant("tip" as const), from: fc.nat(3), part: fc.nat(1000) }),
);

type Book = { vessels: Vessel[]; skeins: Liquor[]; tipped: Liquor; made: Liquor };

function enter(book: Book, act: Act): Book {
  const vessels = [...book.vessels];
  if (act.kind === "topUp") {
    const to = vessels[act.to];
    if (to === undefined) return book;
    vessels[act.to] = pourIn(to, act.liquor);
    return { ...book, vessels, made: addLiquor(book.made, act.liquor) };
  }
  const from = vessels[act.from];
  if (from === undefined) return book;
  const { vessel, drawn } = draw(from, Math.floor((left(from).volumeUl * act.part) / 1000));
  vessels[act.from] = vessel;
  switch (act.kind) {
    case "move": {
      const to = vessels[act.to];
      if (to !== undefined) vessels[act.to] = pourIn(to, drawn);
      return { ...book, vessels };
    }
    case "offer":
      return { ...book, vessels, skeins: [...book.skeins, ...shareLiquor(drawn, act.weights)] };
    case "tip":
      return { ...book, vessels, tipped: addLiquor(book.tipped, drawn) };
  }
}

describe("the account book", () => {
  test("balances to the last uL and ug after any acts and any undos", () => {
    fc.assert(
      fc.property(
        fc.array(liquors, { minLength: 4, maxLength: 4 }),
        fc.array(fc.oneof({ weight: 4, arbitrary: acts }, fc.constant("undo" as const)), {
          maxLength: 60,
        }),
        (starts, moves) => {
          const pages: Book[] = [
            {
              vessels: starts.map(vesselOf),
              skeins: [],
              tipped: { volumeUl: 0, dyes: {} },
              made: sumOf(starts),
            },
          ];
          for (const move of moves) {
            const book = pages.at(-1);
            if (book === undefined) break;
            if (move !== "undo") pages.push(enter(book, move));
            else if (pages.length > 1) pages.pop();
            const now = pages.at(-1) ?? book;
            const all = sumOf([leftover(now.vessels), ...now.skeins, now.tipped]);
            expect(all.volumeUl).toBe(now.made.volumeUl);
            expect(sameDyes(all.dyes, now.made.dyes)).toBe(true);
            for (const vessel of now.vessels) {
              const holds = left(vessel);
              expect(holds.volumeUl).toBeGreaterThanOrEqual(0);
              for (const dye of dyeIds) expect(massOf(holds.dyes, dye)).toBeGreaterThanOrEqual(0);
            }
          }
        },
      ),
      { numRuns: 1200 },
    );
  });

  test("the doses of the skeins sum to the pour, per dye and in volume", () => {
    fc.assert(
      fc.property(
        liquors,
        fc.array(fc.integer({ min: 1, max: 1_000_000_000 }), { minLength: 1, maxLength: 8 }),
        (pour, weights) => {
          const doses = shareLiquor(pour, weights);
          expect(sumOf(doses).volumeUl).toBe(pour.volumeUl);
          expect(sameDyes(sumOf(doses).dyes, pour.dyes)).toBe(true);
        },
      ),
      RUNS,
    );
  });

  test("adding masses keeps every dye, whatever its id, and the sum", () => {
    fc.assert(
      fc.property(masses, masses, (a, b) => {
        const both = addMasses(a, b);
        expect(totalUg(both)).toBe(totalUg(a) + totalUg(b));
        for (const dye of dyeIds) expect(massOf(both, dye)).toBe(massOf(a, dye) + massOf(b, dye));
      }),
      RUNS,
    );
    expect(massOf({}, "constructor")).toBe(0);
  });
});
