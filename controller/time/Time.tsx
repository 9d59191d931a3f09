import "./time.css";
import { useMemo } from "preact/hooks";
import { refused } from "../../shared/dye/refusal.ts";
import { reordered } from "../../shared/plan/arrangement.ts";
import { placesOf, sayBottleneck, sooner, tasksOf } from "../../shared/plan/schedule.ts";
import type { Id } from "../../shared/session/setup.ts";
import { usePreparation } from "../prepare/context.tsx";
import { minutesText } from "../prepare/minutes.ts";
import { usePlan } from "../prepare/usePlan.ts";
import { Arrangements } from "./Arrangements.tsx";
import { Day } from "./Day.tsx";
import { Workroom } from "./Workroom.tsx";

/** How long the stream will be, what it waits for, and how the skeins might lie otherwise. */
export function Time({ plan: id }: { plan: Id }) {
  const { change } = usePreparation();
  const inHand = usePlan(id);
  const quicker = useMemo(
    () => inHand && sooner(tasksOf(inHand.prospect.walked), placesOf(inHand.plan.workroom)),
    [inHand?.plan, inHand?.prospect],
  );
  if (!inHand) return null;
  const { plan, shelf, prospect, pace } = inHand;
  const { schedule } = prospect;
  const panName = (pan: Id) => plan.pans.find((one) => one.id === pan)?.name ?? pan;
  const wanted = plan.workroom.streamSeconds;
  const edit = (next: typeof plan, because: string) =>
    void change({ change: "plan", plan: id, edit: { edit: "replace", plan: next, because } });
  return (
    <div class="time">
      {plan.steps.length === 0 ? (
        <p class="time-lead">
          There are no steps yet. Once pours, heating and waiting stand in the plan, this page says
          when each begins and how long the stream will be.
        </p>
      ) : refused(schedule) ? (
        <p class="time-warning">{schedule.say}</p>
      ) : (
        <>
          <section class="time-head">
            <p class="time-figure figures">{minutesText(schedule.streamSeconds)}</p>
            <div class="time-said">
              <h2>on air, by forecast</h2>
              {wanted !== undefined && schedule.streamSeconds > wanted && (
                <p class="time-warning">
                  {`That is ${minutesText(schedule.streamSeconds - wanted)} more than the ${minutesText(wanted)} you want.`}
                </p>
              )}
              {schedule.bottleneck && <p>{sayBottleneck(schedule.bottleneck, panName)}</p>}
              <p class="time-note figures">
                {`Your hands are busy for ${minutesText(schedule.handsSeconds)} of it.`}
                {schedule.beforeSeconds > 0 &&
                  ` Begin ${minutesText(schedule.beforeSeconds)} before the stream.`}
                {schedule.endSeconds > schedule.streamSeconds &&
                  ` The last step ends ${minutesText(schedule.endSeconds)} after it begins.`}
              </p>
              {quicker && (
                <button
                  type="button"
                  class="green-button"
                  onClick={() =>
                    edit(reordered(plan, quicker.order), "put the steps in a quicker order")
                  }
                >
                  {`Another order takes ${minutesText(quicker.schedule.streamSeconds)}: put it so`}
                </button>
              )}
            </div>
          </section>
          <Day plan={plan} shelf={shelf} schedule={schedule} />
          <Arrangements plan={plan} shelf={shelf} pace={pace} onTake={edit} />
        </>
      )}
      <Workroom planId={id} plan={plan} prospect={prospect} pace={pace} />
    </div>
  );
}
