import { type DyeMasses, totalUg } from "../dye/vessel.ts";
import type { Poured } from "../session/bench.ts";
import { type Correction, correctionsAfter } from "../session/corrected.ts";
import type { State } from "../session/state.ts";
import { writeTable } from "../shelf/table.ts";
import { sourceWords } from "./recap.ts";

export const pourColumns = [
  "pour",
  "time UTC",
  "planned",
  "pan",
  "source",
  "strength % w/v",
  "skein",
  "colourway",
  "dry fibre g",
  "stock mL",
  "powder mg",
  "dye mg",
  "depth before %",
  "depth after %",
  "technique",
  "coverage %",
  "amount",
  "pour off by at most",
  "corrected",
  "correction",
  "off air",
] as const;

/**
 * All pours as comma-separated values, one line for each skein that a pour went over, with its
 * exact share: the lines of a pour add up to it. Text that a spreadsheet would take for a formula
 * is kept from being one.
 */
export function poursTable(state: State): string {
  const corrections = correctionsAfter(state);
  const rows = state.bench.poured.flatMap((poured, at) => {
    const own = corrections.filter(({ act }) => act === poured.act);
    return rowsOf(state, poured, at + 1, own);
  });
  return writeTable(pourColumns, rows);
}

type Part = {
  skein: string | null;
  volumeUl: number;
  dyes: DyeMasses;
  before: string;
  after: string;
};

function rowsOf(
  state: State,
  poured: Poured,
  n: number,
  corrections: readonly Correction[],
): string[][] {
  const { pour, strengthPct, doses } = poured;
  const { source } = pour;
  const volumeUl = source.from === "vessel" ? source.amount.volumeUl : 0;
  const parts: Part[] =
    doses.length === 0
      ? [{ skein: null, volumeUl, dyes: poured.dyes, before: "", after: "" }]
      : doses.map(({ skein, volumeUl, dyes, beforePct, afterPct }) => ({
          skein,
          volumeUl,
          dyes,
          before: decimals(beforePct),
          after: decimals(afterPct),
        }));
  return parts.map(({ skein, volumeUl, dyes, before, after }) => {
    const there = skein === null ? undefined : state.bench.skeins[skein]?.skein;
    const colourway = there?.colourway && state.setup.colourways[there.colourway]?.name;
    const dyeUg = totalUg(dyes);
    return [
      String(n),
      timeOf(poured.at),
      poured.step === null ? "no" : "yes",
      state.bench.pans[pour.pan]?.pan.name ?? pour.pan,
      sourceWords(state, source, strengthPct).name,
      strengthPct === null ? "" : decimals(strengthPct),
      there?.name ?? "",
      colourway ?? "",
      there ? String(there.massUg / 1_000_000) : "",
      source.from === "vessel" ? String(volumeUl / 1_000) : "",
      source.from === "powder" ? String(dyeUg / 1_000) : "",
      String(dyeUg / 1_000),
      before,
      after,
      pour.technique === "lowWater" ? "low water" : pour.technique,
      decimals(pour.coverage * 100),
      source.amount.how,
      offBy(poured),
      poured.corrected ? "yes" : "no",
      corrections.map(({ was, reason }) => `was ${was}: ${reason}`).join("; "),
      poured.offAir === true ? "yes" : "no",
    ];
  });
}

function offBy({ pour: { source } }: Poured): string {
  return source.from === "vessel"
    ? `${source.amount.plusMinusUl / 1_000} mL`
    : `${source.amount.plusMinusUg / 1_000} mg`;
}

/** Up to six decimals, as spreadsheets of every language that write a point read them. */
function decimals(value: number): string {
  return String(Math.round(value * 1e6) / 1e6);
}

const utc = new Intl.DateTimeFormat("sv-SE", {
  timeZone: "UTC",
  dateStyle: "short",
  timeStyle: "medium",
});

/** "2031-05-17 18:03:20" */
function timeOf(at: number): string {
  return utc.format(at);
}
