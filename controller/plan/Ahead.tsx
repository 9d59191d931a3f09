import { GraduatedRule } from "../../shared/draw/GraduatedRule.tsx";
import { showCount, showMass, showVolume } from "../../shared/dye/display.ts";
import { refused } from "../../shared/dye/refusal.ts";
import type { WayOut } from "../../shared/plan/foresight.ts";
import type { Place } from "../../shared/plan/plan.ts";
import { takeWayOut } from "../../shared/plan/wayOut.ts";
import { minutesText } from "../prepare/minutes.ts";
import type { Table } from "./table.ts";

/** Warnings that are listed; more are counted. */
const most = 12;

/** What lies ahead: the bottles that run short and the ways out, what to weigh, what to look at. */
export function Ahead({ table }: { table: Table }) {
  const { plan, shelf, prospect, pace, edit, both, look } = table;
  const { foresight, powderUg, schedule, warnings, walked } = prospect;
  const stockName = (id: string) => shelf.stocks.find((one) => one.id === id)?.name ?? id;
  const take = (way: WayOut) => {
    const after = takeWayOut(plan, shelf, way, pace);
    const because = way.say.replace(/\.$/, "");
    const said = because.charAt(0).toLowerCase() + because.slice(1);
    if (after.shelf === shelf) edit({ edit: "replace", plan: after.plan, because: said });
    else {
      const changed = after.plan === plan ? null : after.plan;
      both(changed && { edit: "replace", plan: changed, because: said }, after.shelf, said);
    }
  };
  const uses = foresight.uses.filter(({ drawnUl }) => drawnUl > 0);
  const powder = Object.entries(powderUg).filter(([, ug]) => ug > 0);
  const listed: { place: Place; say: string }[] = [
    ...walked.problems,
    ...warnings.filter(({ code }) => code !== "stock.short"),
  ];
  return (
    <section class="ahead">
      <h2>Ahead</h2>
      {!refused(schedule) && plan.steps.length > 0 && (
        <p class="figures">
          {schedule.streamSeconds > 0
            ? `The stream will be about ${minutesText(schedule.streamSeconds)}.`
            : "Nothing is on air yet."}
        </p>
      )}
      {foresight.shortages.map((one) => (
        <section key={one.stock} class="ahead-short" aria-label={stockName(one.stock)}>
          <p>
            <b>
              <bdi>{stockName(one.stock)}</bdi> runs short at pour {one.pourNumber}
            </b>
            <span class="figures">{` by ${showVolume(one.shortUl)} in all.`}</span>
          </p>
          <div class="ahead-ways">
            {one.ways.map((way) => (
              <button key={way.say} type="button" class="quiet-button" onClick={() => take(way)}>
                {way.say}
              </button>
            ))}
            <button
              type="button"
              class="quiet-button"
              onClick={() => look({ part: "steps", id: one.step })}
            >
              Look at that pour
            </button>
          </div>
        </section>
      ))}
      {uses.length > 0 && (
        <ul class="ahead-uses">
          {uses.map(({ stock, heldUl, drawnUl, leftUl }) => (
            <li key={stock}>
              <span>
                <bdi>{stockName(stock)}</bdi>
              </span>
              <GraduatedRule
                volumeUl={Math.max(1, heldUl)}
                pouredUl={Math.min(drawnUl, Math.max(1, heldUl))}
                width={104}
                height={20}
                fillHex="#5d564a"
                tone="wool"
                title={`${showVolume(drawnUl)} of ${showVolume(heldUl)} are poured`}
              />
              <span class="figures">
                {leftUl >= 0 ? `${showVolume(leftUl)} left` : `${showVolume(-leftUl)} short`}
              </span>
            </li>
          ))}
        </ul>
      )}
      {powder.length > 0 && (
        <>
          <h3>Powder to weigh</h3>
          <ul class="ahead-powder figures">
            {powder.map(([dye, ug]) => (
              <li key={dye}>
                <bdi>{shelf.dyes.find(({ id }) => id === dye)?.name ?? dye}</bdi>
                <span>{showMass(ug)}</span>
              </li>
            ))}
          </ul>
          <p class="editor-note">
            Weigh with a mask on, in still air, over a damp cloth. The dye's safety data sheet comes
            first.
          </p>
        </>
      )}
      {listed.length > 0 && (
        <>
          <h3>{showCount(listed.length, "thing")} to look at</h3>
          <ul class="ahead-list">
            {listed.slice(0, most).map(({ place, say }) => (
              <li key={`${place.part} ${place.id} ${say}`}>
                <button
                  type="button"
                  class="ahead-look"
                  onClick={() => look(place)}
                  disabled={place.id === null || place.part === "stocks"}
                >
                  {say}
                </button>
              </li>
            ))}
            {listed.length > most && <li>{`and ${listed.length - most} more`}</li>}
          </ul>
        </>
      )}
      <SetOut table={table} />
    </section>
  );
}

/** Bottles to stand ready for improvising, besides those that the plan pours from. */
function SetOut({ table }: { table: Table }) {
  const { plan, shelf, edit } = table;
  const poured = new Set(
    plan.steps.flatMap((step) =>
      step.kind === "pour" && step.pour.source.from === "stock" ? [step.pour.source.stock] : [],
    ),
  );
  const others = shelf.stocks.filter(({ id, retired }) => !retired && !poured.has(id));
  if (others.length === 0) return null;
  return (
    <details class="ahead-set-out">
      <summary>Bottles to set out besides, to improvise with</summary>
      <div class="editor-chips">
        {others.map(({ id, name }) => {
          const out = plan.setOut.includes(id);
          return (
            <button
              key={id}
              type="button"
              class="chip"
              aria-pressed={out}
              onClick={() =>
                edit({
                  edit: "setOut",
                  stocks: out ? plan.setOut.filter((one) => one !== id) : [...plan.setOut, id],
                })
              }
            >
              <bdi>{name}</bdi>
            </button>
          );
        })}
      </div>
    </details>
  );
}
