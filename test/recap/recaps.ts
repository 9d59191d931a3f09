import type { Recap, RecapLot } from "../../shared/recap/recap.ts";

/** Recaps of invented sessions, of whatever size and in whatever script. */

const stocks = ["Lantern", "Slipway", "Tidewrack", "Saltmarsh", "Gullwing", "Deepwater"];
const hexes = ["#d39a2c", "#96502f", "#5f6d33", "#2e6e86", "#a9adab", "#22344f"];
const at = <Item>(list: readonly Item[], n: number): Item => {
  const item = list[n % list.length];
  if (item === undefined) throw new Error("The list is empty.");
  return item;
};

/** Names of 200 letters in Greek, Cyrillic, Hebrew and Latin, each beginning with another. */
export const longNames = [0, 1, 2, 3].map((first) => {
  const scripts = [
    "Αρμυρό βάλτο στο σούρουπο",
    "Солёное болото в сумерках",
    "ביצת מלח בשעת בין ערביים",
    "Salt marsh at dusk, later",
  ];
  const run = scripts.map((_, n) => at(scripts, first + n)).join(" ");
  return `${run} ${run}`.slice(0, 200);
});

export function lotOf(n: number, name: string, parts: number): RecapLot {
  return {
    key: `c ${n}`,
    name,
    kind: "colourway",
    skeins: [String(n)],
    bases: ["quay"],
    pans: ["A"],
    massUg: 50_000_000,
    dyeUg: 100_000 * parts,
    depthPct: 0.2 * parts,
    plusMinusPct: 0,
    colour: {
      how: "predicted",
      hex: at(hexes, n),
      undyedHex: "#efe6d6",
      flecks: [],
      patches: [],
    },
    parts: Array.from({ length: parts }, (_, part) => {
      const name = at(stocks, n + part) + (part < stocks.length ? "" : ` ${part}`);
      const tail = ` ${at([1, 0.5, 0.125], part)}\u202f%`;
      return {
        key: `p ${n} ${part}`,
        title: name + tail,
        name,
        tail,
        hex: at(hexes, n + part),
        of: "volume" as const,
        amount: at([12_000, 37_500, 1_250], n + part),
        about: part % 7 === 2,
        dyeUg: 100_000,
        depthPct: 0.2,
        pours: 1,
      };
    }),
  };
}

export function recapWith(lots: readonly RecapLot[], name = "Harbour at dusk"): Recap {
  const massUg = lots.reduce((sum, lot) => sum + lot.massUg, 0);
  const fibres = [
    { fibre: "wool", pct: 75 },
    { fibre: "nylon", pct: 25 },
  ];
  return {
    name,
    day: "2031-05-17",
    pours: lots.reduce((sum, { parts }) => sum + parts.length, 0),
    lots,
    yarns:
      lots.length === 0
        ? []
        : [
            {
              base: "quay",
              name: "Quay sock",
              fibres,
              superwash: true,
              skeins: lots.length,
              massUg,
            },
          ],
    pans: ["A", "B", "C"].map((pan) => ({
      pan,
      name: pan,
      method: "lowWater" as const,
      waterUl: 1_500_000,
      additions: [
        { what: "acid" as const, label: "white vinegar 5 %", amount: { volumeUl: 30_000 } },
      ],
      heats: [{ how: "steam" as const, seconds: 1500, celsius: 98 }],
    })),
  };
}
