import {
  depthParts,
  MINUS,
  showCelsius,
  showCount,
  showDepth,
  showDepthRange,
  showMass,
  showVolume,
  THIN_SPACE,
} from "../../shared/dye/display.ts";
import { sayBleed } from "../../shared/session/say.ts";
import type { AdditionAmount, Heating, Id, Technique } from "../../shared/session/setup.ts";
import type {
  FollowDepth,
  FollowDone,
  FollowRecipe,
  FollowStep,
} from "../../shared/session/views/followRecipe.ts";
import type {
  PublicCorrection,
  PublicPour,
  PublicSkein,
  PublicView,
} from "../../shared/session/views/publicView.ts";
import type { Choices } from "./kept.ts";
import { sayTool } from "./tools.ts";

const rightToLeft = /[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc]/;

/** A name in a sentence; one written from right to left is kept from turning its neighbours round. */
export function named(name: string): string {
  return rightToLeft.test(name) ? `\u2068${name}\u2069` : name;
}

export function panName(view: PublicView, pan: Id): string {
  return named(view.pans[pan]?.name ?? pan);
}

export function skeinName(view: PublicView, skein: Id): string {
  return named(view.skeins[skein]?.name ?? skein);
}

/** Said wherever somebody has another base than the session; the reason is said where there is room. */
export const otherYarnInShort = "Another yarn: the depth of shade is kept, the colour is not.";

export const otherYarnWarning = `${otherYarnInShort} Another fibre, ground or superwash treatment takes the same dye otherwise; try it on a sample first.`;

export const powderInShort = "Powder only: dry measuring is cruder than stock.";

export const powderWarning =
  "Dry measuring is cruder than stock: a small amount is hard to weigh and takes longer to spread evenly. Dissolve each weighed powder in hot water before it goes in, and count that water as part of the bath.";

/** "Quay: 80 % wool, 20 % nylon, superwash", for each base of the session. */
export function sayBases(view: PublicView): string {
  return Object.values(view.bases)
    .map(({ name, fibres, superwash }) => {
      const content = fibres.map(({ fibre, pct }) => `${pct}${THIN_SPACE}% ${fibre}`).join(", ");
      return `${named(name)}: ${content}${superwash ? ", superwash" : ""}`;
    })
    .join("; ");
}

/** Whether a viewer has set nothing that bears on the amounts. */
export function isAsInSession({ choices, recipe }: { choices: Choices; recipe: FollowRecipe }) {
  const { fibre, powder, otherYarn, toolId } = choices;
  const ownStocks = recipe.stocks.some(({ ownPct }) => ownPct !== null);
  return fibre.of === "session" && !powder && !otherYarn && toolId === null && !ownStocks;
}

/** Whose yarn, stocks and tool the amounts are for, in one line. */
export function sayMine(view: PublicView, recipe: FollowRecipe, choices: Choices): string {
  const { powder, otherYarn } = choices;
  const ownStocks = recipe.stocks.filter(({ ownPct }) => ownPct !== null).length;
  const tool = sayTool(choices.toolId);
  const yarn = sayOwnFibre(view, recipe, choices);
  const said = [
    `Amounts for ${yarn}${otherYarn ? ", another yarn" : ""}`,
    ...(powder ? ["powder only"] : []),
    ...(ownStocks === 0 || powder ? [] : [`${showCount(ownStocks, "stock")} of mine`]),
    ...(tool === null ? [] : [`with ${tool}`]),
  ];
  if (isAsInSession({ choices, recipe })) said.push("as in the session");
  return said.join(", ");
}

/** "skeins of 37 g", "37 g of Ebb alone", "600 g in all". */
function sayOwnFibre(view: PublicView, recipe: FollowRecipe, { fibre }: Choices): string {
  switch (fibre.of) {
    case "session":
      return sayFibreThere(view, recipe);
    case "skein":
      return `${showMass(fibre.massUg)} skeins`;
    case "colourway":
      return `${showMass(fibre.massUg)} of ${named(fibre.colourway)} alone`;
    case "set":
      return `${showMass(fibre.massUg)} in all`;
  }
}

/** "50 g skeins"; "skeins of 50 to 100 g". */
export function sayFibreThere(view: PublicView, { terms }: FollowRecipe): string {
  const masses = terms.set.skeins.map((id) => view.skeins[id]?.massUg ?? 0);
  const [least, most] = [Math.min(...masses), Math.max(...masses)];
  if (masses.length === 0) return "the yarn";
  return least === most
    ? `${showMass(most)} skeins`
    : `skeins of ${showMass(least)} to ${showMass(most)}`;
}

/** "3", "3 and 4", "3, 4 and 5". */
export function listed(words: readonly string[]): string {
  const last = words.at(-1) ?? "";
  return words.length < 2 ? last : `${words.slice(0, -1).join(", ")} and ${last}`;
}

/** "skein 3", "skeins 3 and 4"; the bath when a pour has no skeins. */
export function saySkeins(view: PublicView, pour: PublicPour): string {
  const names = Object.keys(pour.doses).map((skein) => skeinName(view, skein));
  if (names.length === 0) return "the bath alone";
  return `${names.length === 1 ? "skein" : "skeins"} ${listed(names)}`;
}

/** "pan B, skeins 3 and 4". */
export function sayWhere(view: PublicView, pour: PublicPour): string {
  return `pan ${panName(view, pour.pan)}, ${saySkeins(view, pour)}`;
}

const techniques: Readonly<Record<Technique, string>> = {
  immersion: "into the bath",
  lowWater: "into low water",
  painted: "painted on",
  dripped: "dripped on",
  speckled: "speckled on dry",
};

/** "painted on, far half of the skein, 60 % of it". */
export function sayTechnique({ technique, placement, coverage }: PublicPour): string {
  return [
    techniques[technique],
    ...(placement === undefined ? [] : [named(placement)]),
    ...(coverage < 1 ? [`touching ${sayShare(coverage)} of the skein`] : []),
  ].join(", ");
}

function sayShare(share: number): string {
  return `${Number((share * 100).toPrecision(2))}${THIN_SPACE}%`;
}

/** The session's own amount, "24 drops, 1.2 mL" or "about 25 mL". */
export function sayThere({ volumeUl, massUg, drops, how, plusMinus }: PublicPour): string {
  const amount = massUg === undefined ? showVolume(volumeUl ?? 0) : showMass(massUg);
  const about = how !== "measured" || plusMinus > 0 ? `about ${amount}` : amount;
  return drops === undefined ? about : `${showCount(drops, "drop")}, ${about}`;
}

export function sayAmount(of: "volume" | "mass", amount: number): string {
  return of === "volume" ? showVolume(amount) : showMass(amount);
}

/** "white vinegar 5 %": what goes in, its sign kept with its figure. */
export function sayLabel(label: string): string {
  return label.replace(/ %/g, `${THIN_SPACE}%`);
}

export function sayAddition(amount: AdditionAmount): string {
  return "volumeUl" in amount ? showVolume(amount.volumeUl) : showMass(amount.massUg);
}

/** "0.78 %", "about 0.78 % ± 0.05 %" where there is a doubt that shows. */
export function sayDepth(pct: number, plusMinusPct: number): string {
  const range = { pct, lowPct: Math.max(0, pct - plusMinusPct), highPct: pct + plusMinusPct };
  const depth = showDepthRange(range);
  if (!depth.startsWith("about")) return depth;
  // A doubt is no surer for a zero at its end.
  const { figure, unit } = depthParts(plusMinusPct);
  return `${depth} ±${THIN_SPACE}${figure.replace(/\.?0+$/, "")}${THIN_SPACE}${unit}`;
}

/** Whether a step or something done is for yarn that the viewer dyes. */
export function isOwn(line: FollowStep | FollowDone): boolean {
  if (line.kind === "pour") return line.own.mine;
  return line.kind === "skipped" || line.mine;
}

/** Whether something was done after the stream. */
export function isAfter(view: PublicView, line: FollowDone): boolean {
  if (line.kind === "pour") return view.poured[line.key]?.offAir === true;
  const { closedAt } = view.session;
  return line.kind === "add" && closedAt !== undefined && line.at > closedAt;
}

/** Corrections made after the stream, the oldest first; of one line of the recipe, or of no line in it. */
export function correctionsOf(
  view: PublicView,
  which: (act: string) => boolean,
): PublicCorrection[] {
  return Object.values(view.corrections ?? {}).filter(({ act }) => which(String(act)));
}

/** What was said before, what is true, and why it is said now; each part by itself. */
export function correctionParts({ was, now, reason }: PublicCorrection) {
  return [
    { what: "Said before", said: was },
    { what: "In truth", said: now ?? "it never happened" },
    { what: "Why", said: reason },
  ];
}

/** "photographed, 3.2 CIEDE2000 from the prediction"; empty where its colour was not seen. */
export function saySeen({ seen, strayed }: PublicSkein): string {
  if (seen === undefined) return "";
  const far = strayed === undefined ? "" : `, ${strayed.toFixed(1)} CIEDE2000 from the prediction`;
  return seen.how + far;
}

/** "rinse: water clear, cloth tinted"; empty where it was not looked at. */
export function sayRinse({ rinse }: PublicSkein): string {
  return rinse === undefined ? "" : `rinse: ${sayBleed(rinse)}`;
}

/** A step as it is in the session: "40 mL Lantern 1 % into pan A, skeins 1 and 2". */
export function sayStep(view: PublicView, step: FollowStep): string {
  if (step.kind === "heat")
    return `${sayHeating(view, step.how, step.pan)}, ${sayMinutes(step.seconds)}`;
  if (step.kind === "add") {
    return `${sayAddition(step.amount)} ${sayLabel(step.label)} into pan ${panName(view, step.pan)}`;
  }
  return `${sayThere(step.pour)} ${step.pour.title} into ${sayWhere(view, step.pour)}`;
}

/** An error below this share of the depth does not show beside others; common practice, no source. */
const keptShare = 0.005;

/**
 * What rounding does to a depth, "+0.01 %", "−0.002 %"; "kept" where it does not show, and as a share
 * where it only shows beside the depth itself.
 *
 * @param pct the error, % owf; @param ofPct the depth that was meant, % owf
 */
export function sayDepthError(pct: number, ofPct: number): string {
  const size = Math.abs(pct);
  if (size >= 0.0005) return `${pct > 0 ? "+" : MINUS}${showDepth(size)}`;
  if (size <= keptShare * ofPct) return "kept";
  const share = Number(((size / ofPct) * 100).toPrecision(2));
  return `${pct > 0 ? "up" : "down"} by ${share}${THIN_SPACE}% of itself`;
}

/** Skeins that a pour takes from one depth to another, said once. */
export type DepthGroup = { skeins: readonly Id[]; before: string; after: string; local: string };

/** Depths of a pour, skeins with the same figures together. */
export function depthGroups(depths: readonly FollowDepth[]): DepthGroup[] {
  const groups = new Map<string, DepthGroup>();
  for (const { skein, beforePct, afterPct, plusMinusPct, localPct } of depths) {
    const before = depthParts(beforePct).figure;
    const after = sayDepth(afterPct, plusMinusPct);
    const local = showDepth(localPct);
    const key = `${before} ${after} ${local}`;
    const skeins = [...(groups.get(key)?.skeins ?? []), skein];
    groups.set(key, { skeins, before, after, local });
  }
  return [...groups.values()];
}

/** "0.40 → 0.78 %"; of several skeins that differ, each by name. */
export function sayDepths(view: PublicView, depths: readonly FollowDepth[]): string {
  const groups = depthGroups(depths);
  return groups
    .map(({ skeins, before, after }) => {
      const whose = skeins.map((skein) => skeinName(view, skein)).join(", ");
      return `${groups.length > 1 ? `${whose}: ` : ""}${before} to ${after}`;
    })
    .join("; ");
}

/** "Steam pan A", "Let pan C rest". */
export function sayHeating(view: PublicView, how: Heating, pan: Id): string {
  const name = `pan ${panName(view, pan)}`;
  switch (how) {
    case "stove":
      return `Heat ${name}`;
    case "oven":
      return `Heat ${name} in the oven`;
    case "steam":
      return `Steam ${name}`;
    case "rest":
      return `Let ${name} rest`;
  }
}

export function sayWait({ celsius, waitingFor }: { celsius?: number; waitingFor: string }): string {
  return [
    ...(celsius === undefined ? [] : [showCelsius(celsius)]),
    ...(waitingFor === "" ? [] : [`waiting for ${named(waitingFor)}`]),
  ].join(", ");
}

export function sayMinutes(seconds: number): string {
  if (seconds < 60) return `${seconds}${THIN_SPACE}s`;
  const minutes = Math.round(seconds / 6) / 10;
  return `${minutes}${THIN_SPACE}min`;
}

/** "11:24", "1:02:09"; below 0 counts on with a plus. */
export function sayClock(seconds: number): string {
  const size = Math.abs(Math.trunc(seconds));
  const [h, m, s] = [Math.floor(size / 3600), Math.floor(size / 60) % 60, size % 60];
  const two = (n: number) => String(n).padStart(2, "0");
  return `${seconds < 0 ? "+" : ""}${h > 0 ? `${h}:${two(m)}` : m}:${two(s)}`;
}

/** The time of day on this phone, "18:04". */
export function sayTime(ms: number): string {
  const date = new Date(ms);
  return `${String(date.getHours()).padStart(2, "0")}:${String(date.getMinutes()).padStart(2, "0")}`;
}
