import { cautionsOf, deferral } from "../../shared/cautions/cautions.ts";
import { showDepth, showVolume } from "../../shared/dye/display.ts";
import type {
  FollowDone,
  FollowPour,
  FollowRecipe,
  FollowStep,
} from "../../shared/session/views/followRecipe.ts";
import { isMine } from "../../shared/session/views/ownTerms.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";
import type { Choices } from "./kept.ts";
import { type Means, meansOf } from "./means.ts";
import {
  correctionParts,
  correctionsOf,
  isAfter,
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
  sayRinse,
  saySeen,
  sayTechnique,
  sayWait,
  sayWhere,
  skeinName,
} from "./say.ts";

/** The whole recipe as plain text, as it stands on the page for this viewer. */
export function recipeText(view: PublicView, recipe: FollowRecipe, choices: Choices): string {
  const means = meansOf(choices);
  const { done, now, coming, needs, water } = recipe;
  const own = done.filter(isOwn);
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
      own.filter((line) => !isAfter(view, line)).map((line) => sayDone(view, means, line)),
    ),
    ...part(
      "After the stream",
      own.filter((line) => isAfter(view, line)).map((line) => sayDone(view, means, line)),
    ),
    ...part(
      "Corrected after the stream",
      correctionsOf(view, () => true).map((correction) => {
        const parts = correctionParts(correction).map(
          ({ what, said }) => `${what}: ${said.replace(/\.$/, "")}.`,
        );
        return `- ${parts.join(" ")}`;
      }),
    ),
    ...part("How the skeins came out", resultsOf(view, recipe)),
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

function resultsOf(view: PublicView, { terms }: FollowRecipe): string[] {
  return Object.entries(view.skeins).flatMap(([id, skein]) => {
    const said = [saySeen(skein), sayRinse(skein)].filter((words) => words !== "");
    if (said.length === 0 || !isMine(terms, id)) return [];
    return [`- Skein ${skeinName(view, id)}: ${said.join("; ")}`];
  });
}

function part(title: string, lines: readonly string[]): string[] {
  return lines.length === 0 ? [] : ["", title, ...lines, ""];
}

function sayAll({ also }: Means, of: "volume" | "mass", amount: number): string {
  const said = sayAmount(of, amount);
  const more = also?.(of, amount);
  return more ? `${said} (${more})` : said;
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
    const early = "ended" in step ? " (ended early)" : "";
    return `- ${what}, ${sayMinutes(step.seconds)}${wait === "" ? "" : `, ${wait}`}${early}`;
  }
  const { ownAmount } = step;
  const amount =
    means.also === null
      ? sayAddition(ownAmount)
      : "volumeUl" in ownAmount
        ? sayAll(means, "volume", ownAmount.volumeUl)
        : sayAll(means, "mass", ownAmount.massUg);
  const inTool =
    means.tool === null || step.inTool === null ? "" : `; with ${means.tool}: ${step.inTool}`;
  return `- ${amount} ${sayLabel(step.label)} into pan ${panName(view, step.pan)}${inTool}`;
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
    const depth = `depth ${sayDepthError(measured.errorPct, measured.depthPct)}`;
    const then =
      measured.insteadErrorPct === undefined
        ? ""
        : ` The depth is then right to ${showDepth(measured.insteadErrorPct)}.`;
    const better = measured.tooCoarse
      ? ` Too little to measure well. ${measured.instead}${then}`
      : "";
    return [`With ${means.tool}: ${measured.say}, ${depth}.${better}`];
  });
  return [
    `${amounts.join(" and ")} into ${sayWhere(view, pour)}, ${sayTechnique(pour)}`,
    ...(shares.length > 0 ? [`   ${shares.join("; ")}`] : []),
    ...(depths.length > 0 ? [`   Depth of shade ${sayDepths(view, depths)}`] : []),
    ...measured.map((line) => `   ${line}`),
  ].join("\n");
}
