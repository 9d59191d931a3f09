import type { FollowRecipe, FollowStep } from "../../shared/session/views/followRecipe.ts";
import type { PublicPour, PublicView } from "../../shared/session/views/publicView.ts";
import { sayAmount, sayThere, sayWhere } from "./say.ts";

/** Something that was poured or was to come, and is now known to be otherwise, in words. */
export type Change = { key: string; seq: number; say: string };

type Seen = { view: PublicView; recipe: FollowRecipe };

/**
 * What became otherwise between two views of one session: pours taken back, corrected or settled,
 * for a viewer may have poured them too; and pours to come that were changed, put in or taken out.
 */
export function changesBetween(was: Seen, is: Seen & { seq: number }): Change[] {
  return [...changesDone(was, is), ...changesComing(was, is)];
}

function changesDone(was: Seen, is: Seen & { seq: number }): Change[] {
  const { seq } = is;
  return Object.entries(was.view.poured).flatMap(([act, before]): Change[] => {
    const after = is.view.poured[act];
    const key = `${act} ${seq}`;
    if (after === undefined) {
      const say = `Taken back: ${saySource(before)}, ${sayWhere(was.view, before)}.`;
      return [{ key, seq, say }];
    }
    if (samePour(before, after)) return [];
    const verb = before.how === "unsettled" && after.how === "measured" ? "settled" : "corrected";
    const say = `Pour ${after.n} is ${verb}: ${sayOwn(is.recipe, act)} instead of ${sayOwn(was.recipe, act)}, ${sayWhere(is.view, after)}.`;
    return [{ key, seq, say }];
  });
}

type PourStep = Extract<FollowStep, { kind: "pour" }>;

/** The step in hand is left out: the dyer steps its amount, and it stands large on the page. */
function changesComing(was: Seen, is: Seen & { seq: number }): Change[] {
  const [before, after] = [poursComing(was), poursComing(is)];
  const say = (id: string, words: string): Change => ({
    key: `${id} ${is.seq}`,
    seq: is.seq,
    say: words,
  });
  const gone = [...before].flatMap(([id, step]) =>
    id in is.view.steps
      ? []
      : [say(id, `Taken out of the plan: ${sayParts(step)}, ${sayWhere(was.view, step.pour)}.`)],
  );
  const otherwise = [...after].flatMap(([id, step]) => {
    const there = before.get(id);
    const where = sayWhere(is.view, step.pour);
    if (there === undefined) {
      return id in was.view.steps ? [] : [say(id, `New in the plan: ${sayParts(step)}, ${where}.`)];
    }
    if (samePour(there.pour, step.pour)) return [];
    const [then, now] = [sayParts(there), sayParts(step)];
    const instead = then === now ? "" : ` instead of ${then}`;
    return [say(id, `The plan is changed: ${now}${instead}, ${where}.`)];
  });
  return [...gone, ...otherwise];
}

function poursComing({ recipe }: Seen): Map<string, PourStep> {
  return new Map(recipe.coming.flatMap((step) => (step.kind === "pour" ? [[step.id, step]] : [])));
}

function sayParts({ own, pour }: Pick<PourStep, "own" | "pour">): string {
  if (!own.mine) return saySource(pour);
  const { parts, about } = own;
  return parts
    .map(({ of, amount, title }) => `${about ? "about " : ""}${sayAmount(of, amount)} ${title}`)
    .join(" and ");
}

function saySource(pour: PublicPour): string {
  return `${sayThere(pour)} ${pour.title}`;
}

function sayOwn(recipe: FollowRecipe, act: string): string {
  const line = recipe.done.find(({ key }) => key === act);
  if (line?.kind !== "pour") return "nothing";
  return sayParts(line);
}

function samePour(a: PublicPour, b: PublicPour): boolean {
  return (
    a === b ||
    (a.title === b.title &&
      a.volumeUl === b.volumeUl &&
      a.massUg === b.massUg &&
      a.how === b.how &&
      a.plusMinus === b.plusMinus &&
      a.pan === b.pan &&
      JSON.stringify(Object.entries(a.doses).map(([skein, { dyes }]) => [skein, dyes])) ===
        JSON.stringify(Object.entries(b.doses).map(([skein, { dyes }]) => [skein, dyes])))
  );
}
