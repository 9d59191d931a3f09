import { ugFromG } from "../../shared/dye/units.ts";
import { asInSession, type Own } from "../../shared/session/views/ownTerms.ts";
import {
  type PublicPour,
  type PublicPoured,
  type PublicView,
  publicView,
} from "../../shared/session/views/publicView.ts";
import { Desk, setupOf } from "./desk.ts";

type Line = {
  skeins: readonly string[] | Record<string, number>;
  strengthPct?: number;
  mL?: number;
  powderG?: number;
  plusMinusG?: number;
};

/** What a viewer sees of a session that is not live yet: pours of Saltmarsh into one pan. */
export function lookOn(plan: {
  skeins: readonly { id: string; g: number }[];
  pours: readonly Line[];
  /** Skeins with a pour of their own after the others. */
  alsoPlannedOn?: readonly string[];
}): PublicView {
  const lines: Line[] = [
    ...plan.pours,
    ...(plan.alsoPlannedOn ?? []).map((skein) => ({ skeins: [skein], mL: 1, strengthPct: 1 })),
  ];
  const sheet = {
    pourSheet: 1,
    name: "A session",
    dyes: [{ id: "saltmarsh", name: "Saltmarsh", swatch: { hex: "#2e6e86", depthPct: 1 } }],
    bases: [{ id: "quay", name: "Quay", fibres: [{ fibre: "wool", pct: 100 }], superwash: true }],
    stocks: lines.map((line, at) => ({
      id: `bottle${at + 1}`,
      name: "Saltmarsh",
      mL: 1000,
      dyes: [{ dye: "saltmarsh", strengthPct: line.strengthPct ?? 1 }],
    })),
    pans: [{ id: "A", name: "A", capacityMl: 5000, waterMl: 1500 }],
    skeins: plan.skeins.map(({ id, g }) => ({ id, name: id, base: "quay", g, pan: "A" })),
    steps: lines.map(({ skeins, mL, powderG, plusMinusG }, at) => ({
      kind: "pour",
      pan: "A",
      skeins,
      ...(powderG === undefined
        ? { stock: `bottle${at + 1}`, amount: { mL } }
        : { powder: "saltmarsh", amount: { g: powderG, plusMinusG } }),
    })),
  };
  return publicView(new Desk(setupOf(sheet)).state);
}

/** A viewer's own fibre and stocks, in grams and %. */
export function own(has: { skeinG?: number; setG?: number; dyePct?: Record<string, number> }): Own {
  const { skeinG, setG, dyePct = {} } = has;
  const fibre =
    skeinG !== undefined
      ? { of: "skein" as const, massUg: ugFromG(skeinG) }
      : setG !== undefined
        ? { of: "set" as const, massUg: ugFromG(setG) }
        : { of: "session" as const };
  return { ...asInSession, fibre, dyePct };
}

/** The pour planned as step `n`. */
export function planned(view: PublicView, n: number): PublicPour {
  const step = Object.values(view.steps).find((step) => step.n === n);
  if (step?.kind !== "pour") throw new Error(`step ${n} is no pour`);
  return step.pour;
}

/** The pour that was made as the `n`th. */
export function poured(view: PublicView, n: number): PublicPoured {
  const pour = Object.values(view.poured).find((pour) => pour.n === n);
  if (!pour) throw new Error(`there was no pour ${n}`);
  return pour;
}
