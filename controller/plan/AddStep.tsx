import type { PlanStep, TimedKind } from "../../shared/plan/plan.ts";
import { TIMED } from "../../shared/plan/plan.ts";
import type { Id } from "../../shared/session/setup.ts";
import { newId } from "../link/id.ts";
import { TIMED_WORDS } from "./say.ts";
import type { Table } from "./table.ts";

type Without<T> = T extends unknown ? Omit<T, "id"> : never;
type New = Without<PlanStep>;

/** Everything but pours: baths, heat, waiting and talk, each put in with what is usual. */
export function AddStep({ table, pan }: { table: Table; pan: Id | null }) {
  const { plan, prospect, edit, place, look } = table;
  const after = place?.part === "steps" ? plan.steps.findIndex(({ id }) => id === place.id) : -1;
  const add = (step: New) => {
    const id = newId();
    edit({
      edit: "put",
      part: "steps",
      ...(after >= 0 ? { at: after + 1 } : {}),
      item: { ...step, id } as PlanStep,
    });
    look({ part: "steps", id });
  };
  const common = { onAir: true, seconds: null };
  const practice = prospect.baths.find((bath) => bath.pan.id === pan)?.practice;
  const timed = (kind: TimedKind): New => ({
    ...common,
    kind,
    pan: pan ?? "",
    waitingFor: "",
    wait: kind !== "dry" && kind !== "wetOut",
    onAir: kind !== "dry" && kind !== "wetOut",
    ...(kind === "hold" && practice
      ? { celsius: practice.holdCelsius, seconds: practice.holdSeconds }
      : {}),
    ...(kind === "heat" && practice ? { celsius: practice.holdCelsius } : {}),
  });
  const targetPh = practice?.targetPh ?? 4.5;
  return (
    <div class="plan-add-steps">
      <span class="blank-label">Or add</span>
      {pan !== null && (
        <>
          <button
            type="button"
            class="quiet-button"
            onClick={() =>
              add({
                ...common,
                kind: "add",
                pan,
                what: "acid",
                label: "White vinegar",
                amount: { by: "ph", ph: targetPh },
                acid: { kind: "vinegar", pct: 5 },
              })
            }
          >
            Acid
          </button>
          <button
            type="button"
            class="quiet-button"
            onClick={() =>
              add({
                ...common,
                kind: "add",
                pan,
                what: "salt",
                label: "Salt",
                amount: { by: "pctOfFibre", pct: 10 },
              })
            }
          >
            Salt
          </button>
          <button
            type="button"
            class="quiet-button"
            onClick={() =>
              add({
                ...common,
                kind: "add",
                pan,
                what: "water",
                label: "Water",
                amount: { by: "ratio", ratio: 30 },
              })
            }
          >
            Water
          </button>
          {TIMED.map((kind) => (
            <button key={kind} type="button" class="quiet-button" onClick={() => add(timed(kind))}>
              {TIMED_WORDS[kind]}
            </button>
          ))}
        </>
      )}
      <button
        type="button"
        class="quiet-button"
        onClick={() => add({ ...common, kind: "talk", about: "What comes next" })}
      >
        Talk
      </button>
    </div>
  );
}
