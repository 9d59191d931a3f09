import type { Fleck } from "../../shared/colour/fleck.ts";
import type { Yarn } from "../../shared/colour/seen.ts";
import type { Plan } from "../../shared/plan/plan.ts";
import type { Change } from "../../shared/prepare/change.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { Shelf, ShelfBase } from "../../shared/shelf/shelf.ts";
import type { Kept, Known } from "./shelf.ts";

/** What every part of the screen works with. */
export type Desk = {
  readonly shelf: Shelf;
  readonly plan: { readonly id: Id; readonly content: Plan } | null;
  readonly known: readonly Known[];
  readonly base: ShelfBase;
  readonly yarn: Yarn;
  readonly flecks: readonly Fleck[];
  /** Dry fibre of the skein that recipes are for, ug. */
  readonly massUg: number;
  /** The deepest shade that the workroom dyes, % owf. */
  readonly limitPct: number;
  readonly kept: readonly Kept[];
  readonly onKept: (kept: readonly Kept[]) => void;
  /** The skein of the plan that recipes are poured over, or the first of several. */
  readonly over: Id | null;
  readonly onOver: (skein: Id) => void;
  readonly change: (change: Change) => void;
};
