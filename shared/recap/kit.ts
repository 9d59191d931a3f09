import { descriptionOf, type Mark, oneLine } from "../broadcast/chapters.ts";
import { cautionsOf, deferral } from "../cautions/cautions.ts";
import { showCount, showDepth, showMass, showVolume } from "../dye/display.ts";
import { totalUg } from "../dye/vessel.ts";
import { saySource } from "../session/say.ts";
import type { Id, Skein } from "../session/setup.ts";
import type { State } from "../session/state.ts";
import { careOf, hazardsOfRepeating } from "./care.ts";
import {
  type Recap,
  type RecapLot,
  sayBath,
  sayCounts,
  sayDay,
  sayFibres,
  sayHeat,
  sayMeanings,
  sayPart,
  sayYarn,
} from "./recap.ts";

/** Most letters that a video's description is let to have. */
export const mostLetters = 5_000;

/**
 * The text under a video: materials, recipe, chapters and cautions, in 5,000 letters at most. What
 * does not fit is left out from the end of the recipe, and said to be.
 *
 * @param chapters of the video, where there is a clock
 */
export function descriptionText(
  state: State,
  recap: Recap,
  chapters: readonly Mark[] | null,
): string {
  const list = chapters === null ? null : descriptionOf(chapters);
  const head = [oneLine(recap.name), `${sayDay(recap.day)}: ${sayCounts(recap)}`, ""];
  const tail = [
    ...bathLines(recap),
    ...(typeof list === "string" ? ["Chapters", list.trimEnd(), ""] : []),
    "Cautions",
    ...cautionsOf(hazardsOfRepeating(state)).map(({ line }) => `- ${line}`),
    deferral,
    "",
    sayMeanings(recap),
  ];
  const materials = ["Materials", ...materialLines(state, recap), ""];
  const recipe = recap.lots.map(lotLine);
  const whole = (materials: readonly string[], lines: readonly string[]) =>
    `${[...head, ...materials, "Recipe", ...lines, "", ...tail].join("\n")}\n`;
  for (let count = recipe.length; count > 0; count -= 1) {
    const left = recipe.length - count;
    const more = left > 0 ? [`and ${showCount(left, "more colourway")}, on the recipe sheet`] : [];
    const said = whole(materials, [...recipe.slice(0, count), ...more]);
    if (said.length <= mostLetters) return said;
  }
  const short = whole(
    [],
    ["Nothing was poured.", "The recipe is on the recipe sheet."].slice(recap.pours === 0 ? 0 : 1),
  );
  return short.length <= mostLetters ? short : `${cut(short, mostLetters - 1)}\n`;
}

/** Cut between letters, never within one. */
function cut(text: string, most: number): string {
  const short = text.slice(0, most - 1);
  return `${/[\ud800-\udbff]$/.test(short) ? short.slice(0, -1) : short}…`;
}

/** Yarn, and every bottle, jug and powder with how much of it was poured. */
function materialLines(state: State, recap: Recap): string[] {
  const sources = new Map<string, { of: "volume" | "mass"; amount: number }>();
  for (const { pour, strengthPct } of state.bench.poured) {
    const { source } = pour;
    const title = saySource(state, source, strengthPct ?? undefined);
    const of = source.from === "vessel" ? "volume" : "mass";
    const own = source.from === "vessel" ? source.amount.volumeUl : source.amount.massUg;
    sources.set(title, { of, amount: (sources.get(title)?.amount ?? 0) + own });
  }
  return [
    ...recap.yarns.map((yarn) => `- ${sayYarn(yarn)}`),
    ...[...sources].map(([title, { of, amount }]) => {
      return `- ${title}, ${of === "volume" ? showVolume(amount) : showMass(amount)}`;
    }),
  ].map(oneLine);
}

/** "First lamp, 50 g: 20 mL Lantern 1 % (0.40 %), ...; 0.52 % in all". */
export function lotLine(lot: RecapLot): string {
  const parts = lot.parts.map((part) => {
    const said = [sayPart(part), part.title].filter((word) => word !== "").join(" ");
    return lot.massUg > 0 ? `${said} (${showDepth(part.depthPct)})` : said;
  });
  const mass = lot.massUg > 0 ? `, ${showMass(lot.massUg)}` : "";
  const all = lot.massUg > 0 && lot.parts.length > 1 ? `; ${showDepth(lot.depthPct)} in all` : "";
  return oneLine(`${lot.name}${mass}: ${parts.length === 0 ? "undyed" : parts.join(", ")}${all}`);
}

function bathLines({ pans }: Recap): string[] {
  const lines = pans.flatMap((pan) => {
    const said = [sayBath(pan), ...pan.heats.map(sayHeat)].filter((word) => word !== "");
    return said.length === 0 ? [] : [oneLine(`Pan ${pan.name}: ${said.join(", ")}`)];
  });
  return lines.length === 0 ? [] : ["Baths", ...lines, ""];
}

/**
 * "20310517-4F7C-2": the day, a mark of the session, and the colourway's place in its setup, from 1.
 * A skein of its own has an S before its place; one that came onto the bench since, an N before the
 * number of the act that brought it. Nothing that is poured or corrected later moves it.
 */
export function lotNumber(state: State, recap: Recap, skein: Skein): string {
  const mark = state.session
    .replace(/[^A-Za-z0-9]/g, "")
    .slice(0, 4)
    .toUpperCase();
  return `${recap.day.replaceAll("-", "")}-${mark}-${placeOf(state, skein)}`;
}

function placeOf({ setup, acts }: State, { id, colourway }: Skein): string {
  const ways = Object.keys(setup.colourways);
  if (colourway !== undefined && ways.includes(colourway)) return `${ways.indexOf(colourway) + 1}`;
  const at = Object.keys(setup.skeins).indexOf(id);
  if (at >= 0) return `S${at + 1}`;
  const brought = acts.find(({ act }) => act.kind === "skeinNew" && act.skein.id === id);
  return `N${brought?.seq ?? 0}`;
}

/**
 * What a shop says of one skein: colourway, fibre, grams, superwash or not, lot number, which of
 * how many, and care. `null` where no dye went onto it.
 */
export function listingText(state: State, recap: Recap, skein: Id): string | null {
  const lot = recap.lots.find(({ skeins }) => skeins.includes(skein));
  const there = state.bench.skeins[skein]?.skein;
  if (!lot || !there || !isDyed(state, skein)) return null;
  const base = state.setup.bases[there.base];
  const superwash = base?.superwash ?? false;
  const dyed = lot.skeins.filter((id) => isDyed(state, id));
  const which = dyed.length === 1 ? "one of one" : `${dyed.indexOf(skein) + 1} of ${dyed.length}`;
  const fibres = base && base.fibres.length > 0 ? `, ${sayFibres(base.fibres)}` : "";
  const lines = [
    oneLine(lot.name),
    `Hand-dyed on ${oneLine(base?.name ?? there.base)}${fibres}`,
    `${showMass(there.massUg)} dry, ${superwash ? "superwash" : "not superwash"}`,
    `Lot ${lotNumber(state, recap, there)}, ${which}`,
    "",
    "Care",
    ...careOf(superwash).map((line) => `- ${line}`),
    "",
    "Dyed by hand in small lots: no two are quite alike, and screens show colours differently.",
  ];
  return `${lines.join("\n")}\n`;
}

function isDyed(state: State, skein: Id): boolean {
  return totalUg(state.bench.skeins[skein]?.dyes ?? {}) > 0;
}

/** A skein's name, and what a shop says of it. */
export type Listing = { skein: string; text: string };

/** The listings of all dyed skeins, in the order of the session. */
export function listingsOf(state: State, recap: Recap): Listing[] {
  return recap.lots
    .flatMap(({ skeins }) => skeins)
    .flatMap((id) => {
      const text = listingText(state, recap, id);
      const skein = state.bench.skeins[id]?.skein.name ?? id;
      return text === null ? [] : [{ skein, text }];
    });
}

/** The same as one text. */
export function listingsText(listings: readonly Listing[]): string {
  const texts = listings.map(({ text }) => text);
  return texts.length === 0 ? "There is no dyed skein to list.\n" : texts.join("\n\n");
}

/** What a tablet is told of a session's publishing kit. */
export type Kit = {
  name: string;
  /** The session's day, "17 May 2031", and its sums, "6 colourways, 15 pours, 300 g". */
  day: string;
  counts: string;
  closed: boolean;
  files: readonly { name: string; type: string }[];
  listings: readonly Listing[];
};
