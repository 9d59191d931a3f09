import fc from "fast-check";
import { HAZARDS } from "../../shared/cautions/hazards.ts";
import { DYE_CLASSES } from "../../shared/dye/dyeClass.ts";
import type {
  Shelf,
  ShelfBase,
  ShelfDye,
  ShelfStock,
  ShelfSwatch,
  ShelfTool,
} from "../../shared/shelf/shelf.ts";

/** Names as people and accidents type them: letters, formulas, quotes, separators, other scripts. */
export const names = fc
  .oneof(
    fc.string({ unit: "grapheme", minLength: 1, maxLength: 20 }),
    fc
      .array(
        fc.constantFrom(
          ..."=+-@'\";,\\#% \t\n".split(""),
          "Saltmarsh",
          "\u6c34",
          "\u05d0",
          "\u00e9",
          "12 g",
        ),
        { minLength: 1, maxLength: 8 },
      )
      .map((list) => list.join("")),
  )
  .map((name) => name.trim().slice(0, 80).trim())
  .filter((name) => name !== "" && !name.includes("\0"));

export const ids = fc
  .stringMatching(/^[a-z0-9_-][a-z0-9 ._-]{0,12}$/)
  .map((id) => id.trim())
  .filter((id) => id !== "" && !(id in {}));

const hex = fc.nat(0xffffff).map((n) => `#${n.toString(16).padStart(6, "0")}`);
const pct = fc.integer({ min: 1, max: 100_000 }).map((n) => n / 1_000);
const ug = fc.oneof(fc.nat(50), fc.nat(2_000_000_000));
const maybe = <Value>(key: string, value: fc.Arbitrary<Value>) =>
  fc.option(value, { nil: undefined }).map((one) => (one === undefined ? {} : { [key]: one }));

const dyes: fc.Arbitrary<ShelfDye> = fc
  .tuple(
    fc.record({
      id: ids,
      name: names,
      dyeClass: fc.constantFrom(...DYE_CLASSES),
      hazards: fc.uniqueArray(fc.constantFrom(...HAZARDS), { maxLength: 3 }),
      hex,
      swatchDepthPct: pct,
      swatchBaseHex: hex,
      retired: fc.boolean(),
    }),
    maybe("code", names),
    maybe("lot", names),
    maybe("onHandUg", ug),
    maybe("limitPct", pct),
  )
  .map(([dye, ...more]) => Object.assign(dye, ...more));

const fibres = fc.tuple(names, names, fc.integer({ min: 1, max: 9_999 })).map(([a, b, n]) => [
  { fibre: a, pct: n / 100 },
  { fibre: b, pct: (10_000 - n) / 100 },
]);

const bases: fc.Arbitrary<ShelfBase> = fc
  .tuple(
    fc.record({
      id: ids,
      name: names,
      fibres,
      superwash: fc.boolean(),
      hex,
      flecks: fc.array(
        fc.oneof(
          fc.record({ name: names, hex }),
          fc.record({ name: names, hex, takesDye: fc.constant(true) }),
        ),
        { maxLength: 3 },
      ),
      retired: fc.boolean(),
    }),
    maybe("ply", names),
  )
  .map(([base, more]) => Object.assign(base, more));

const stocksOf = (dyeIds: readonly string[]): fc.Arbitrary<ShelfStock> =>
  fc
    .tuple(
      fc.record({
        id: ids,
        name: names,
        volumeUl: fc.integer({ min: 1_000, max: 5_000_000 }),
        toMake: fc.boolean(),
        retired: fc.boolean(),
      }),
      dyeIds.length > 0
        ? fc.uniqueArray(fc.tuple(fc.constantFrom(...dyeIds), fc.nat(300_000)), {
            maxLength: 3,
            selector: ([dye]) => dye,
          })
        : fc.constant([]),
      maybe("madeOn", fc.constantFrom("2031-05-17", "2028-02-29")),
    )
    .map(([stock, masses, more]) =>
      Object.assign(stock, { dyes: Object.fromEntries(masses) }, more),
    );

const size = fc.integer({ min: 1, max: 1_000_000_000 });
const tools: fc.Arbitrary<ShelfTool> = fc.record({
  id: ids,
  name: names,
  retired: fc.boolean(),
  tool: fc.oneof(
    fc.record({
      kind: fc.constantFrom("syringe" as const, "cylinder" as const),
      capacityUl: fc.integer({ min: 1, max: 5_000_000 }),
      divisionUl: fc.integer({ min: 1, max: 5_000_000 }),
    }),
    fc.record({ kind: fc.constant("scale" as const), capacityUg: size, divisionUg: size }),
    fc.constant({ kind: "dropper" as const }),
    fc.record({
      kind: fc.constant("dropper" as const),
      dropUl: fc.integer({ min: 1, max: 99_999 }).map((n) => n / 1_000),
    }),
    fc.record({ kind: fc.constant("liquidSpoon" as const), spoonUl: size }),
    fc
      .uniqueArray(fc.tuple(ids, size), { maxLength: 3, selector: ([id]) => id })
      .map((list) => ({ kind: "powderSpoon" as const, massUgOf: Object.fromEntries(list) })),
  ),
});

const unique = <Item extends { id: string }>(item: fc.Arbitrary<Item>, maxLength = 6) =>
  fc.uniqueArray(item, { maxLength, selector: (one) => one.id });

const thousandths = (min: number, max: number) =>
  fc.integer({ min: min * 1_000, max: max * 1_000 }).map((n) => n / 1_000);

const seen: fc.Arbitrary<ShelfSwatch["seen"]> = fc.oneof(
  fc.record({ how: fc.constant("typed" as const), hex }),
  fc.record({ how: fc.constant("photographed" as const), hex }),
  fc.record({ how: fc.constant("photographed" as const), hex, spread: thousandths(0, 20) }),
  fc.record({
    how: fc.constant("measured" as const),
    lab: fc.record({
      l: thousandths(0, 100),
      a: thousandths(-120, 120),
      b: thousandths(-120, 120),
    }),
  }),
  fc.record({
    how: fc.constant("spectrum" as const),
    reflectance: fc.array(thousandths(0, 1), { minLength: 31, maxLength: 31 }),
  }),
);

const swatchesOf = (
  dyeIds: readonly string[],
  baseIds: readonly string[],
): fc.Arbitrary<ShelfSwatch[]> =>
  dyeIds.length === 0 || baseIds.length === 0
    ? fc.constant([])
    : unique(
        fc
          .tuple(
            fc.record({
              id: ids,
              dye: fc.constantFrom(...dyeIds),
              base: fc.constantFrom(...baseIds),
              depthPct: pct,
              seen,
              retired: fc.boolean(),
            }),
            maybe("madeOn", fc.constantFrom("2031-05-17", "2028-02-29")),
            maybe("note", names),
          )
          .map(([swatch, ...more]) => Object.assign(swatch, ...more)),
      );

/** Any shelf: every dye in a bottle or swatch is on it, fibres add up, no short name stands twice. */
export const shelves: fc.Arbitrary<Shelf> = fc
  .tuple(unique(dyes), unique(bases))
  .chain(([someDyes, someBases]) => {
    const dyeIds = someDyes.map(({ id }) => id);
    return fc.record({
      dyes: fc.constant(someDyes),
      bases: fc.constant(someBases),
      stocks: unique(stocksOf(dyeIds)),
      tools: unique(tools),
      swatches: swatchesOf(
        dyeIds,
        someBases.map(({ id }) => id),
      ),
    });
  });
