import { cautionsOf, deferral } from "../../shared/cautions/cautions.ts";
import { showVolume } from "../../shared/dye/display.ts";
import type {
  FollowDone,
  FollowPour,
  FollowRecipe,
  FollowStep,
} from "../../shared/session/views/followRecipe.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";
import type { Choices } from "./kept.ts";
import { type Means, meansOf } from "./means.ts";
import {
  isOwn,
  otherYarnWarning,
  panName,
  powderWarning,
  sayAddition,
  sayAmount,
  sayDepthError,
  sayDepths,
  sayHeating,
  sayLabel,
  sayMine,
  sayMinutes,
  sayTechnique,
  sayWait,
  sayWhere,
  skeinName,
} from "./say.ts";

/** The whole recipe as plain text, as it stands on the page for this viewer. */
export function recipeText(view: PublicView, recipe: FollowRecipe, choices: Choices): string {
  const means = meansOf(choices);
  const { done, now, coming, needs, water } = recipe;
  const toCome = [...(now === null ? [] : [now]), ...coming].filter(isOwn);
  return [
    view.session.name,
    `${sayMine(view, recipe, choices)}.`,
    ...(choices.otherYarn ? [otherYarnWarning] : []),
    ...(choices.powder ? [powderWarning] : []),
    ...part(
      "What it takes in all",
      [
        ...needs.map(({ of, poured, coming, title }) => {
          return `${sayAll(means, of, poured + coming)} ${title}`;
        }),
        ...water
          .filter(({ volumeUl }) => volumeUl > 0)
          .map(({ pan, volumeUl, capacityUl }) => {
            const room = `in a pan of ${showVolume(capacityUl)} or more`;
            return `${sayAll(means, "volume", volumeUl)} water for pan ${panName(view, pan)}, ${room}`;
          }),
      ].map((line) => `- ${line}`),
    ),
    ...part(
      "Done",
      done.filter(isOwn).map((line) => sayDone(view, means, line)),
    ),
    ...part(
      done.length > 0 ? "Still to come" : "The plan",
      toCome.map((step) => sayStep(view, means, step)),
    ),
    ...part(
      "Before you dye along",
      cautionsOf(recipe.hazards).map(({ line, note }) => `- ${line} ${note}`),
    ),
    deferral,
  ].join("\n");
}

function part(title: string, lines: readonly string[]): string[] {
  return lines.length === 0 ? [] : ["", title, ...lines, ""];
}

function sayAll({ also }: Means, of: "volume" | "mass", amount: number): string {
  const said = sayAmount(of, amount);
  return also === null ? said : `${said} (${also(of, amount)})`;
}

function sayDone(view: PublicView, means: Means, line: FollowDone): string {
  switch (line.kind) {
    case "pour":
      return `${line.n}. ${sayPour(view, means, line)}${line.corrected ? " (corrected)" : ""}`;
    case "skipped":
      return `- Left out: ${line.step.kind === "pour" ? line.step.pour.title : line.step.kind === "add" ? sayLabel(line.step.label) : sayHeating(view, line.step.how, line.step.pan)}`;
    default:
      return sayOther(view, means, line);
  }
}

function sayStep(view: PublicView, means: Means, step: FollowStep): string {
  return step.kind === "pour"
    ? `${step.nth}. ${sayPour(view, means, step)}`
    : sayOther(view, means, step);
}

type Other = Extract<FollowStep | FollowDone, { kind: "add" | "heat" }>;

function sayOther(view: PublicView, means: Means, step: Other): string {
  if (step.kind === "heat") {
    const wait = sayWait(step);
    const what = sayHeating(view, step.how, step.pan);
    return `- ${what}, ${sayMinutes(step.seconds)}${wait === "" ? "" : `, ${wait}`}`;
  }
  const { ownAmount } = step;
  const amount =
    means.also === null
      ? sayAddition(ownAmount)
      : "volumeUl" in ownAmount
        ? sayAll(means, "volume", ownAmount.volumeUl)
        : sayAll(means, "mass", ownAmount.massUg);
  return `- ${amount} ${sayLabel(step.label)} into pan ${panName(view, step.pan)}`;
}

function sayPour(view: PublicView, means: Means, { pour, own, depths }: FollowPour): string {
  const about = own.about ? "about " : "";
  const amounts = own.parts.map(
    ({ of, amount, title }) => `${about}${sayAll(means, of, amount)} ${title}`,
  );
  const shares = own.evenly
    ? []
    : own.parts.map(({ of, title, shares }) => {
        const each = shares.map(
          ({ skein, amount }) => `${skeinName(view, skein)} ${sayAmount(of, amount)}`,
        );
        return `${own.parts.length > 1 ? `${title}: ` : ""}${each.join(", ")}`;
      });
  const measured = own.parts.flatMap((part) => {
    const { measured } = part;
    if (measured === null || means.tool === null) return [];
    if (!measured.ok) return [measured.say];
    const depth = `depth ${sayDepthError(measured.errorPct)}`;
    const better = measured.tooCoarse ? ` Too little to measure well. ${measured.instead}` : "";
    return [`With ${means.tool}: ${measured.say}, ${depth}.${better}`];
  });
  return [
    `${amounts.join(" and ")} into ${sayWhere(view, pour)}, ${sayTechnique(pour)}`,
    ...(shares.length > 0 ? [`   ${shares.join("; ")}`] : []),
    ...(depths.length > 0 ? [`   Depth of shade ${sayDepths(view, depths)}`] : []),
    ...measured.map((line) => `   ${line}`),
  ].join("\n");
}
