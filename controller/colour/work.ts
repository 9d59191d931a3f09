import type { Fade, FadeOrder } from "../../shared/colour/fade.ts";
import type { Match, ShelfDye } from "../../shared/colour/match.ts";
import type { Yarn } from "../../shared/colour/seen.ts";
import type { Lab } from "../../shared/colour/tone.ts";
import type { Refusal } from "../../shared/dye/refusal.ts";

/** What is worked out beside the page, so that it never stands still. */
export type Job =
  | {
      readonly job: "match";
      readonly yarn: Yarn;
      readonly target: Lab;
      readonly shelf: readonly ShelfDye[];
    }
  | { readonly job: "fade"; readonly order: FadeOrder };

/** What each job comes to. */
export type Done = {
  readonly match: Match;
  readonly fade: Fade | Refusal;
};
