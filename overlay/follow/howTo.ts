import { showCount } from "../../shared/dye/display.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import type { AdditionAmount } from "../../shared/session/setup.ts";
import type {
  FollowDone,
  FollowRecipe,
  FollowStep,
} from "../../shared/session/views/followRecipe.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";
import {
  panName,
  sayAddition,
  sayAmount,
  sayDepths,
  sayHeating,
  sayLabel,
  sayMinutes,
  sayTechnique,
  sayWait,
  sayWhere,
} from "./say.ts";

/** An amount in the vocabulary's words; codes of UN/CEFACT Recommendation 20 (from memory). */
type Quantity = {
  "@type": "QuantitativeValue";
  value: number;
  unitCode: "MLT" | "GRM";
};
type Supply = { "@type": "HowToSupply"; name: string; requiredQuantity: Quantity };
type Direction = {
  "@type": "HowToDirection";
  text: string;
  supply?: Supply[];
  performTime?: string;
};
type HowToStep = { "@type": "HowToStep"; position: number } & (
  | { name: string; itemListElement: Direction[] }
  | { text: string }
);

/** The recipe as a HowTo of the schema.org vocabulary, for the session's own yarn and stocks. */
export type HowTo = {
  "@context": "https://schema.org";
  "@type": "HowTo";
  name: string;
  description: string;
  dateModified: string;
  supply: Supply[];
  tool: { "@type": "HowToTool"; name: string }[];
  step: HowToStep[];
};

/** Where the steps take more letters, each says in words alone what goes in, and no depth. */
const mostLetters = 50_000;

/** @param madeAt when the file was made, ms */
export function howTo(view: PublicView, recipe: FollowRecipe, madeAt: number): HowTo {
  const { now, coming, done } = recipe;
  const lines = [
    ...done.filter((line) => line.kind !== "skipped"),
    ...(now ? [now] : []),
    ...coming,
  ];
  const whole = stepsOf(view, lines, false);
  const steps = JSON.stringify(whole).length > mostLetters ? stepsOf(view, lines, true) : whole;
  return {
    "@context": "https://schema.org",
    "@type": "HowTo",
    name: view.session.name,
    description: `A dyeing recipe of ${showCount(recipe.pours.all, "pour")} on ${showCount(recipe.terms.set.skeins.length, "skein")}.`,
    dateModified: new Date(madeAt).toISOString(),
    supply: [
      ...yarnOf(view, recipe),
      ...recipe.needs.map(({ title, of, poured, coming }) =>
        supply(title, quantity(of, poured + coming)),
      ),
      ...recipe.water
        .filter(({ volumeUl }) => volumeUl > 0)
        .map(({ pan, volumeUl }) =>
          supply(`Water for pan ${panName(view, pan)}`, quantity("volume", volumeUl)),
        ),
      ...lines.flatMap((line) =>
        line.kind === "add" ? [supply(sayLabel(line.label), quantityOf(line.ownAmount))] : [],
      ),
    ],
    tool: toolsOf(view, lines),
    step: steps,
  };
}

function stepsOf(view: PublicView, lines: readonly Line[], inShort: boolean): HowToStep[] {
  return lines.map((line, at) => {
    const direction = directionOf(view, line, inShort);
    const step = { "@type": "HowToStep" as const, position: at + 1 };
    return inShort
      ? { ...step, text: direction.text }
      : { ...step, name: nameOf(view, line), itemListElement: [direction] };
  });
}

type Line = FollowStep | Exclude<FollowDone, { kind: "skipped" }>;

function nameOf(view: PublicView, line: Line): string {
  switch (line.kind) {
    case "pour":
      return line.own.parts.map(({ title }) => title).join(" and ") || line.pour.title;
    case "add":
      return sayLabel(line.label);
    case "heat":
      return sayHeating(view, line.how, line.pan);
  }
}

function directionOf(view: PublicView, line: Line, inShort: boolean): Direction {
  if (line.kind === "heat") {
    const wait = sayWait(line);
    const early = "ended" in line ? " (ended early in the session)" : "";
    const text = `${sayHeating(view, line.how, line.pan)}, ${sayMinutes(line.seconds)}${wait === "" ? "" : `, ${wait}`}${early}.`;
    return { "@type": "HowToDirection", text, performTime: `PT${line.seconds}S` };
  }
  if (line.kind === "add") {
    const text = `${sayAddition(line.ownAmount)} ${sayLabel(line.label)} into pan ${panName(view, line.pan)}.`;
    return {
      "@type": "HowToDirection",
      text,
      supply: [supply(sayLabel(line.label), quantityOf(line.ownAmount))],
    };
  }
  const { pour, own, depths } = line;
  const about = own.about ? "about " : "";
  const amounts = own.parts.map(
    ({ of, amount, title }) => `${about}${sayAmount(of, amount)} ${title}`,
  );
  const depth = depths.length > 0 && !inShort ? ` Depth of shade ${sayDepths(view, depths)}.` : "";
  return {
    "@type": "HowToDirection",
    text: `${amounts.join(" and ")} into ${sayWhere(view, pour)}, ${sayTechnique(pour)}.${depth}`,
    supply: own.parts.map(({ title, of, amount }) => supply(title, quantity(of, amount))),
  };
}

function supply(name: string, requiredQuantity: Quantity): Supply {
  return { "@type": "HowToSupply", name, requiredQuantity };
}

function quantity(of: "volume" | "mass", amount: number): Quantity {
  return of === "volume"
    ? { "@type": "QuantitativeValue", value: amount / 1_000, unitCode: "MLT" }
    : { "@type": "QuantitativeValue", value: amount / 1_000_000, unitCode: "GRM" };
}

function quantityOf(amount: AdditionAmount): Quantity {
  return "volumeUl" in amount
    ? quantity("volume", amount.volumeUl)
    : quantity("mass", amount.massUg);
}

function yarnOf(view: PublicView, recipe: FollowRecipe): Supply[] {
  const massUg: Record<string, number> = {};
  for (const id of recipe.terms.set.skeins) {
    const skein = view.skeins[id];
    if (skein) massUg[skein.base] = (massUg[skein.base] ?? 0) + skein.massUg;
  }
  return Object.entries(massUg).map(([base, ug]) =>
    supply(`${view.bases[base]?.name ?? base} yarn, dry`, quantity("mass", ug)),
  );
}

function toolsOf(view: PublicView, lines: readonly Line[]): HowTo["tool"] {
  const pans = [...new Set(lines.map((line) => (line.kind === "pour" ? line.pour.pan : line.pan)))];
  const powder = lines.some((line) => line.kind === "pour" && line.pour.source.from === "powder");
  const dyed = lines.some(
    (line) =>
      line.kind === "pour" && Object.values(line.pour.doses).some((d) => totalUg(d.dyes) > 0),
  );
  const names = [
    ...pans.map((pan) => `Pan ${panName(view, pan)}, kept for dye only`),
    ...(dyed ? ["Syringe or measuring cylinder"] : []),
    ...(powder ? ["Scale that shows 0.01 g", "Dust mask"] : []),
    ...(lines.some((line) => line.kind === "heat" && line.how !== "rest")
      ? ["Source of heat"]
      : []),
    "Gloves",
  ];
  return names.map((name) => ({ "@type": "HowToTool", name }));
}
