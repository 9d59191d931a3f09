import { calibrate } from "../colour/swatch.ts";
import { depthPct } from "../dye/depth.ts";
import { type Refusal, refuse, refused } from "../dye/refusal.ts";
import { totalUg } from "../dye/vessel.ts";
import { sayName } from "../session/say.ts";
import type { Id } from "../session/setup.ts";
import type { State } from "../session/state.ts";
import { dyeOnBench } from "./onBench.ts";
import { type Shelf, type ShelfSwatch, shelved } from "./shelf.ts";

/** A swatch that a result offers, and what has to be known about it beside the dye's others. */
export type Offer = { readonly swatch: ShelfSwatch; readonly remarks: readonly string[] };

/** A depth that is further in doubt than this share of itself calibrates nothing; no source. */
const MOST_DOUBT = 0.1;

/**
 * The swatch that a dyed skein is for its dye, or why it is none: a dye is only seen where it lies
 * alone, all over a skein, at a depth that is known, and stays on the yarn.
 *
 * @param dayOf the day of a moment, ms since 1970, where the dyer is, as 2031-05-31
 */
export function swatchOfResult(
  state: State,
  id: Id,
  shelf: Shelf,
  dayOf: (at: number) => string,
): Offer | Refusal {
  const there = state.bench.skeins[id];
  const { outcome } = there ?? {};
  const seen = outcome?.seen;
  if (!there || !outcome || seen === undefined) {
    return refuse("result.noColour", "A swatch needs a colour: measure it, or photograph it.");
  }
  const { skein, dyes, plusMinusUg, rinse } = there;
  const [dye, ...others] = Object.entries(dyes).flatMap(([dye, ug]) => (ug > 0 ? [dye] : []));
  if (dye === undefined) {
    return refuse("result.undyed", "No dye went onto this skein, so it is a swatch of none.");
  }
  const nameOf = (one: Id) => sayName(state.setup.dyes[one]?.name ?? one);
  if (others.length > 0) {
    const names = [dye, ...others].map(nameOf);
    const last = names.pop();
    return refuse(
      "result.mix",
      `${names.join(", ")} and ${last} lie on it together: one colour does not tell what each of them did. Dye a skein with one of them alone to refine its swatches.`,
    );
  }
  const partly = state.bench.poured.some(
    ({ pour, doses }) => pour.coverage < 1 && doses.some((dose) => dose.skein === id),
  );
  if (partly) {
    return refuse(
      "result.partly",
      "The dye reached only part of it, so its depth differs from place to place. A swatch is dyed all over.",
    );
  }
  const doubt = totalUg(plusMinusUg) / totalUg(dyes);
  if (doubt > MOST_DOUBT) {
    return refuse(
      "result.doubt",
      `How much dye went in is only known to ±\u202f${Math.round(doubt * 100)}\u202f%: too little for a swatch.`,
    );
  }
  if (rinse?.water === "much") {
    return refuse(
      "result.bleeds",
      "Much dye came off in the rinse: the colour is of less dye than was offered, and nobody knows how much less.",
    );
  }
  const onShelf = shelf.dyes.find((one) => one.id === dye);
  if (!onShelf) {
    return refuse("result.noDye", `${nameOf(dye)} is not on the shelf. Put it there first.`);
  }
  const base = shelf.bases.find((one) => one.id === skein.base);
  if (!base) {
    const name = sayName(state.setup.bases[skein.base]?.name ?? skein.base);
    return refuse("result.noBase", `The yarn ${name} is not on the shelf. Put it there first.`);
  }
  const swatch: ShelfSwatch = {
    id: swatchId(state.session, id),
    dye,
    base: base.id,
    depthPct: depthPct(totalUg(dyes), skein.massUg),
    seen,
    madeOn: dayOf(dyedAt(state, id) ?? outcome.at),
    note: `Skein ${skein.name}, ${state.setup.name}`.slice(0, 80).trim(),
    retired: false,
  };
  const after = shelved(shelf, "swatches", swatch);
  const used = after.swatches.filter((one) => one.dye === dye && !one.retired);
  const known = used.filter((one) => after.bases.some((base) => base.id === one.base));
  const answer = calibrate(dyeOnBench(after, onShelf).swatches ?? []);
  if (refused(answer)) return answer;
  const at = known.findIndex((one) => one.id === swatch.id);
  const remarks = answer.remarks.flatMap((remark) => (remark.swatch === at ? [remark.say] : []));
  return { swatch, remarks: [...remarks, ...bathRemarks(state, id)] };
}

/** When it was last poured on, ms since 1970; `null` where all its dye came out of a bath. */
function dyedAt({ bench }: State, id: Id): number | null {
  const own = bench.poured.filter(({ doses }) => doses.some(({ skein }) => skein === id));
  return own.at(-1)?.at ?? null;
}

/** One swatch for one skein of one session, however often it is offered. */
export function swatchId(session: Id, skein: Id): Id {
  return `${session.slice(0, 18)}.${skein.slice(-60)}`.slice(0, 80);
}

/** Depth is dye offered; what is still in the bath or came off did not dye the yarn. */
function bathRemarks(state: State, id: Id): string[] {
  const { rinse } = state.bench.skeins[id] ?? {};
  const pans = new Set(
    state.bench.poured.flatMap(({ pour, doses }) =>
      doses.some(({ skein }) => skein === id) ? [pour.pan] : [],
    ),
  );
  const strong = [...pans].some((pan) => state.bench.pans[pan]?.look === "strong");
  return [
    ...(strong ? ["Its bath was still strong: less dye is on it than was offered."] : []),
    ...(rinse?.water === "some"
      ? ["Some dye came off: the depth is a little less than said."]
      : []),
  ];
}
