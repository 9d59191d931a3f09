import fc from "fast-check";
import Papa from "papaparse";
import { expect, test } from "vitest";
import { showDepth } from "../../shared/dye/display.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import { cardStages, recapCards } from "../../shared/recap/card.ts";
import { poursTable } from "../../shared/recap/pours.ts";
import { type RecapColours, recapOf, sayPart } from "../../shared/recap/recap.ts";
import { sheetLines } from "../../shared/recap/steps.ts";
import type { Command } from "../../shared/session/command.ts";
import { currentStep, type State } from "../../shared/session/state.ts";
import { followRecipe } from "../../shared/session/views/followRecipe.ts";
import { asInSession } from "../../shared/session/views/ownTerms.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import { Desk, harbourSheet, pourOf, setupOf } from "../scenario/desk.ts";

const setup = setupOf(harbourSheet());
const vessel = fc.constantFrom("lantern", "slipway", "saltmarsh", "gullwing", "deepwater");
const pan = fc.constantFrom("A", "B", "C");
const volumeUl = fc.oneof(fc.integer({ min: 1, max: 30_000 }), fc.constantFrom(1, 333, 7_777));
const how = fc.constantFrom("measured" as const, "estimated" as const);

const pour = fc
  .record({ vessel, pan, volumeUl, how, coverage: fc.constantFrom(1, 0.3) })
  .map(({ vessel, pan, volumeUl, how, coverage }): Command => {
    const amount = { how, volumeUl, plusMinusUl: how === "measured" ? 0 : 500 };
    const source = { from: "vessel" as const, vessel, amount };
    return { type: "pour", pour: pourOf(vessel, volumeUl, { pan, coverage, source }) };
  });
const powder = fc
  .record({ pan, massUg: fc.integer({ min: 1, max: 90_000 }) })
  .map(({ pan, massUg }): Command => {
    const amount = { how: "measured" as const, massUg, plusMinusUg: 0 };
    const source = { from: "powder" as const, dye: "slipway", amount };
    return { type: "pour", pour: pourOf("", 1, { pan, technique: "speckled", source }) };
  });
const move = fc
  .record({ skein: fc.constantFrom("1", "4", "tweed"), to: fc.option(pan) })
  .map((of): Command => ({ type: "skeinMove", ...of }));

type Doing = Command | "advance" | "skip" | "undo" | { correct: number };
const doing: fc.Arbitrary<Doing> = fc.oneof(
  { weight: 4, arbitrary: pour },
  { weight: 1, arbitrary: powder },
  { weight: 4, arbitrary: fc.constant("advance" as const) },
  { weight: 1, arbitrary: fc.constantFrom("skip" as const, "undo" as const) },
  { weight: 1, arbitrary: move },
  { weight: 1, arbitrary: fc.nat(30).map((correct) => ({ correct })) },
);

function perform(desk: Desk, what: Doing): void {
  if (typeof what === "object" && "type" in what) desk.try(what);
  else if (what === "undo") desk.try({ type: "undo", expect: desk.state.acts.at(-1)?.seq ?? 1 });
  else if (typeof what === "object") {
    const pours = desk.state.acts.filter(({ act }) => act.kind === "pour");
    const entry = pours[what.correct % Math.max(1, pours.length)];
    if (!entry) return;
    const pour = pourOf("saltmarsh", 1 + what.correct * 317, { pan: "B" });
    const to = what.correct % 5 === 0 ? null : { kind: "pour" as const, pour };
    desk.try({ type: "correct", act: entry.seq, to, reason: "" });
  } else desk.try({ type: what, expect: currentStep(desk.state)?.id ?? "none" });
}

/** Colours are no matter here, and take longer to reckon than all amounts together. */
const grey: RecapColours = {
  skein: () => ({ hex: "#808080", patches: [] }),
  liquor: () => "#808080",
};

/** uL and ug of everything that was poured, by where it came from. */
type Sums = Record<string, number>;

function add(sums: Sums, key: string, amount: number): void {
  sums[key] = (sums[key] ?? 0) + amount;
}

const dyeSource = (title: string) => title.replace(/ [\d.]+\u202f%$/, "").replace(/ powder$/, "");

function poured(state: State): Sums {
  const sums: Sums = {};
  for (const { pour } of state.bench.poured) {
    const { source } = pour;
    if (source.from === "vessel") {
      const name = state.bench.vessels[source.vessel]?.name;
      add(sums, `${name} uL`, source.amount.volumeUl);
    } else add(sums, `${state.setup.dyes[source.dye]?.name} ug`, source.amount.massUg);
  }
  return sums;
}

function onTable(state: State): Sums {
  const text = poursTable(state).replace(/^\ufeff/, "");
  const { data } = Papa.parse<Record<string, string>>(text, { header: true, skipEmptyLines: true });
  const sums: Sums = {};
  for (const row of data) {
    const ul = Math.round(Number(row["stock mL"]) * 1_000);
    const ug = Math.round(Number(row["powder mg"]) * 1_000);
    if (row["stock mL"] !== "") add(sums, `${row.source} uL`, ul);
    else add(sums, `${row.source} ug`, ug);
  }
  return sums;
}

function onSheet(state: State): Sums {
  const sums: Sums = {};
  for (const { what, poured } of sheetLines(state)) {
    if (!poured) continue;
    add(sums, `${dyeSource(what)} ${poured.of === "volume" ? "uL" : "ug"}`, poured.amount);
  }
  return sums;
}

test("card, table, sheet and follow recipe state the same amounts of 1,000 random sessions", () => {
  let seen = 0;
  fc.assert(
    fc.property(fc.array(doing, { minLength: 1, maxLength: 9 }), (doings) => {
      const desk = Desk.live(setup);
      for (const what of doings) perform(desk, what);
      const { state } = desk;
      const truth = poured(state);
      expect(onTable(state)).toEqual(truth);
      expect(onSheet(state)).toEqual(truth);

      const recap = recapOf(state, grey);
      const card: Sums = {};
      for (const { parts } of recap.lots) {
        for (const { name, of, amount } of parts) {
          if (of !== "bath") add(card, `${name} ${of === "volume" ? "uL" : "ug"}`, amount);
        }
      }
      expect(card).toEqual(truth);
      const dye = recap.lots.filter(({ kind }) => kind !== "bath");
      const onSkeins = Object.values(state.bench.skeins).map(({ dyes }) => totalUg(dyes));
      expect(dye.reduce((sum, { dyeUg }) => sum + dyeUg, 0)).toBe(
        onSkeins.reduce((sum, ug) => sum + ug, 0),
      );
      for (const { parts, dyeUg } of dye) {
        expect(parts.reduce((sum, part) => sum + part.dyeUg, 0)).toBe(dyeUg);
      }

      const follow: Sums = {};
      for (const line of followRecipe(publicView(state), asInSession).done) {
        if (line.kind !== "pour") continue;
        const { title, volumeUl, massUg } = line.pour;
        const name = dyeSource(title);
        if (volumeUl !== undefined) add(follow, `${name} uL`, volumeUl);
        else add(follow, `${name} ug`, massUg ?? 0);
      }
      expect(follow).toEqual(truth);

      // Laying out is slower: the words on the card are read of every tenth session.
      seen += 1;
      if (seen % 10 !== 0) return;
      const cards = recapCards(recap, "17 May 2031", cardStages.tall);
      const said = cards.flatMap(({ items }) =>
        items.flatMap((item) => (item.kind === "text" ? [item.text] : [])),
      );
      for (const { parts, massUg } of recap.lots) {
        for (const part of parts) {
          if (part.of !== "bath") expect(said).toContain(sayPart(part));
          if (massUg > 0) expect(said).toContain(showDepth(part.depthPct));
        }
      }
    }),
    { numRuns: 1_000 },
  );
});
