import type { Act } from "../../shared/session/act.ts";
import type { Command, PourWish } from "../../shared/session/command.ts";
import type { Id } from "../../shared/session/setup.ts";
import { withDrops } from "../live/adjust.ts";
import { scaledDoubt } from "../live/size.ts";

export type Correctable = Extract<Act, { kind: "pour" | "add" }>;
type Replacement = NonNullable<Extract<Command, { type: "correct" }>["to"]>;

/** A correction on its way: what may be changed of an entry. */
export type Draft = {
  unit: "mL" | "g" | "drops";
  /** uL, ug or drops; null while nothing is typed. */
  value: number | null;
  /** The bottle it came from; null for powder and for additions. */
  vessel: Id | null;
  pan: Id;
  /** The skeins it fell on; null for what went into a bath. */
  skeins: readonly Id[] | null;
};

/** A draft that changes nothing yet. */
export function draftOf(was: Correctable): Draft {
  if (was.kind === "add") {
    const { amount, pan } = was;
    return "volumeUl" in amount
      ? { unit: "mL", value: amount.volumeUl, vessel: null, pan, skeins: null }
      : { unit: "g", value: amount.massUg, vessel: null, pan, skeins: null };
  }
  const { source, pan, shares } = was.pour;
  const skeins = shares.length === 0 ? null : shares.map(({ skein }) => skein);
  if (source.from === "powder") {
    return { unit: "g", value: source.amount.massUg, vessel: null, pan, skeins };
  }
  const { amount, vessel } = source;
  return amount.drops === undefined
    ? { unit: "mL", value: amount.volumeUl, vessel, pan, skeins }
    : { unit: "drops", value: amount.drops, vessel, pan, skeins };
}

/**
 * What an entry becomes by a draft. What the draft does not speak of stays: technique, coverage, how
 * large a part of the amount its doubt was, and the size of a drop. Null while the draft is not
 * complete.
 */
export function replacementOf(was: Correctable, draft: Draft): Replacement | null {
  const { value, pan, skeins, vessel } = draft;
  if (value === null || skeins?.length === 0) return null;
  if (was.kind === "add") {
    const { what, label } = was;
    const amount = draft.unit === "g" ? { massUg: value } : { volumeUl: value };
    return { kind: "add", pan, what, label, amount };
  }
  const { source, technique, coverage, placement } = was.pour;
  const pour: PourWish = {
    source,
    pan,
    ...(skeins === null ? {} : { skeins: [...skeins] }),
    technique,
    coverage,
    ...(placement === undefined ? {} : { placement }),
  };
  if (source.from === "powder") {
    const { massUg } = source.amount;
    const plusMinusUg = scaledDoubt(source.amount.plusMinusUg, massUg, value);
    pour.source = { ...source, amount: { ...source.amount, massUg: value, plusMinusUg } };
    return { kind: "pour", pour };
  }
  const { amount } = source;
  pour.source = {
    from: "vessel",
    vessel: vessel ?? source.vessel,
    amount:
      amount.drops === undefined
        ? {
            ...amount,
            volumeUl: value,
            plusMinusUl: scaledDoubt(amount.plusMinusUl, amount.volumeUl, value),
          }
        : withDrops(amount, value),
  };
  return { kind: "pour", pour };
}
