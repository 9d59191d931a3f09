import type { FollowRecipe } from "../../shared/session/views/followRecipe.ts";
import type { PublicPoured, PublicView } from "../../shared/session/views/publicView.ts";
import { sayAmount, sayThere, sayWhere } from "./say.ts";

/** Something that was poured and is now known to be otherwise, in words. */
export type Change = { key: string; seq: number; say: string };

/**
 * What became otherwise between two views of one session: pours taken back, corrected or settled.
 * A viewer may have poured them too.
 */
export function changesBetween(
  was: { view: PublicView; recipe: FollowRecipe },
  is: { view: PublicView; recipe: FollowRecipe; seq: number },
): Change[] {
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

function saySource(pour: PublicPoured): string {
  return `${sayThere(pour)} ${pour.title}`;
}

function sayOwn(recipe: FollowRecipe, act: string): string {
  const line = recipe.done.find(({ key }) => key === act);
  if (line?.kind !== "pour") return "nothing";
  const { parts, about } = line.own;
  return parts
    .map(({ of, amount, title }) => `${about ? "about " : ""}${sayAmount(of, amount)} ${title}`)
    .join(" and ");
}

function samePour(a: PublicPoured, b: PublicPoured): boolean {
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
