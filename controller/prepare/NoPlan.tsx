import { emptyPlan, type Plan } from "../../shared/plan/plan.ts";

/** The table before there is a plan: what one is, and the way to begin one. */
export function NoPlan({ onBegin }: { onBegin: (plan: Plan) => void }) {
  return (
    <section class="prepare-none">
      <h2>No plan yet</h2>
      <p>
        A plan says which skeins lie in which pan, and what is poured over them in what order. From
        it come the bottles that run short, the length of the stream, and the pour sheet for going
        live.
      </p>
      <button type="button" class="green-button" onClick={() => onBegin(emptyPlan)}>
        Begin a plan
      </button>
    </section>
  );
}
