import type { Edit } from "../../shared/plan/edit.ts";
import type { Pace } from "../../shared/plan/pace.ts";
import type { Place, Plan } from "../../shared/plan/plan.ts";
import type { Prospect } from "../../shared/plan/prospect.ts";
import type { Shelf } from "../../shared/shelf/shelf.ts";

/** The plan on the table with all that is worked out of it, and what can be done there. */
export type Table = {
  plan: Plan;
  shelf: Shelf;
  prospect: Prospect;
  pace: Pace | undefined;
  edit(edit: Edit): void;
  /** One step that changes the shelf, and the plan where there is an edit. */
  both(edit: Edit | null, shelf: Shelf, because: string): void;
  /** What is in hand; `null` for nothing. */
  place: Place | null;
  look(place: Place | null): void;
};
