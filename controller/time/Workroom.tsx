import { useState } from "preact/hooks";
import { showCelsius, showDepth } from "../../shared/dye/display.ts";
import { boilingCelsius, efficiencyFrom } from "../../shared/dye/heat.ts";
import { refused } from "../../shared/dye/refusal.ts";
import type { Pace } from "../../shared/plan/pace.ts";
import type { Plan, Workroom as Room } from "../../shared/plan/plan.ts";
import type { Prospect } from "../../shared/plan/prospect.ts";
import type { Id } from "../../shared/session/setup.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Select } from "../form/Select.tsx";
import { usePreparation } from "../prepare/context.tsx";
import { minutesText } from "../prepare/minutes.ts";

/** What a {@link Workroom} is told. */
export interface WorkroomProps {
  planId: Id;
  plan: Plan;
  prospect: Prospect;
  pace: Pace | undefined;
}

/** The workroom that the forecast reckons with: rings, steamers, height, water and limits. */
export function Workroom({ planId, plan, prospect, pace }: WorkroomProps) {
  const { change, word } = usePreparation();
  const { workroom } = plan;
  const put = (next: Partial<Room>) =>
    void change({
      change: "plan",
      plan: planId,
      edit: { edit: "workroom", workroom: { ...workroom, ...next } },
    });
  const without = (key: "alkalinityMgPerL" | "streamSeconds") => {
    const { [key]: _, ...rest } = workroom;
    void change({
      change: "plan",
      plan: planId,
      edit: { edit: "workroom", workroom: rest },
    });
  };
  return (
    <section class="workroom">
      <h2>The workroom</h2>
      <div class="workroom-fields">
        <Quantity
          label="Stream, at the most"
          field={{ kind: "time", max: 86_400 }}
          value={workroom.streamSeconds ?? null}
          onValue={(streamSeconds) =>
            streamSeconds === null ? without("streamSeconds") : put({ streamSeconds })
          }
          show={minutesText}
          optional
          hint="May be left empty"
        />
        <Quantity
          label="Rings"
          field={{ kind: "count", zero: true, max: 20 }}
          value={workroom.rings}
          onValue={(rings) => {
            if (rings !== null) put({ rings });
          }}
          show={String}
        />
        <Quantity
          label="Power of a ring"
          field={{ kind: "power", max: 20_000 }}
          value={workroom.ringWatts}
          onValue={(ringWatts) => {
            if (ringWatts !== null) put({ ringWatts });
          }}
          show={(watts) => `${watts}\u202fW`}
        />
        <Quantity
          label="Of that reaches the pan"
          field={{ kind: "percent", max: 100 }}
          value={Math.round(workroom.ringEfficiency * 1_000) / 10}
          onValue={(pct) => {
            if (pct !== null) put({ ringEfficiency: pct / 100 });
          }}
          show={(pct) => `${pct}\u202f%`}
          hint="Usual until a heating was timed"
        />
        <Quantity
          label="Steamers"
          field={{ kind: "count", zero: true, max: 20 }}
          value={workroom.steamers}
          onValue={(steamers) => {
            if (steamers !== null) put({ steamers });
          }}
          show={String}
        />
        <Quantity
          label="Ovens"
          field={{ kind: "count", zero: true, max: 20 }}
          value={workroom.ovens}
          onValue={(ovens) => {
            if (ovens !== null) put({ ovens });
          }}
          show={String}
        />
        <Quantity
          label="Height above the sea"
          field={{ kind: "altitude", zero: true, max: 6_000 }}
          value={workroom.altitudeM}
          onValue={(altitudeM) => {
            if (altitudeM !== null) put({ altitudeM });
          }}
          show={(metres) => `${metres}\u202fm`}
          hint={`Water boils at ${showCelsius(Math.round(boilingCelsius(workroom.altitudeM) * 10) / 10)}`}
        />
        <Quantity
          label="Room"
          field={{ kind: "temperature", zero: true, max: 45 }}
          value={workroom.roomCelsius}
          onValue={(roomCelsius) => {
            if (roomCelsius !== null) put({ roomCelsius });
          }}
          show={showCelsius}
        />
        <Quantity
          label="Water from the tap"
          field={{ kind: "temperature", max: 60 }}
          value={workroom.tapCelsius}
          onValue={(tapCelsius) => {
            if (tapCelsius !== null && tapCelsius >= 1) put({ tapCelsius });
          }}
          show={showCelsius}
        />
        <Quantity
          label="Alkalinity, mg CaCO3 in a litre"
          field={{ kind: "number", zero: true, max: 1_000 }}
          value={workroom.alkalinityMgPerL ?? null}
          onValue={(alkalinityMgPerL) =>
            alkalinityMgPerL === null ? without("alkalinityMgPerL") : put({ alkalinityMgPerL })
          }
          show={String}
          optional
          hint="As your water supplier gives it"
        />
        <Quantity
          label="Deepest shade, else warn"
          field={{ kind: "percent", max: 100 }}
          value={workroom.limitPct}
          onValue={(limitPct) => {
            if (limitPct !== null) put({ limitPct });
          }}
          show={showDepth}
        />
        <Quantity
          label="The same with nylon"
          field={{ kind: "percent", max: 100 }}
          value={workroom.nylonLimitPct}
          onValue={(nylonLimitPct) => {
            if (nylonLimitPct !== null) put({ nylonLimitPct });
          }}
          show={showDepth}
        />
      </div>
      <Timed
        plan={plan}
        prospect={prospect}
        onEfficiency={(ringEfficiency) => put({ ringEfficiency })}
      />
      {pace && (
        <p class="time-note figures">
          {`By hand: ${pace.pourSeconds}\u202fs a pour, ${pace.addSeconds}\u202fs an addition, ${minutesText(pace.talkSeconds)} a talk. ${sayFrom(word?.paceFrom ?? 0)}`}
        </p>
      )}
      <p class="time-note">
        How it is reckoned. Heating: power that reaches the pan, less what the pan gives off to the
        room, over the heat that water, yarn and pan take up; held back to the dye's own ramp. The
        boiling point goes by the height above the sea. The forecast puts the steps in the plan's
        order onto your hands, the rings, steamers and ovens there are: one thing at a time on each.
      </p>
    </section>
  );
}

/** One heating that was timed with a clock: what it says of the ring. */
function Timed(props: { plan: Plan; prospect: Prospect; onEfficiency: (share: number) => void }) {
  const { plan, prospect, onEfficiency } = props;
  const [panId, setPanId] = useState(plan.pans[0]?.id ?? "");
  const [from, setFrom] = useState<number | null>(null);
  const [to, setTo] = useState<number | null>(null);
  const [seconds, setSeconds] = useState<number | null>(null);
  const bath = prospect.baths.find(({ pan }) => pan.id === panId);
  if (!bath) return null;
  const share =
    from === null || to === null || seconds === null
      ? null
      : efficiencyFrom(
          {
            bathUl: bath.peakUl,
            fibreUg: bath.fibreUg,
            panUg: bath.pan.panUg,
            metal: bath.pan.metal,
            lid: bath.pan.lid,
            fromCelsius: from,
            toCelsius: to,
            roomCelsius: plan.workroom.roomCelsius,
            ringWatts: plan.workroom.ringWatts,
            efficiency: plan.workroom.ringEfficiency,
          },
          seconds,
        );
  return (
    <details class="workroom-timed">
      <summary>I timed one heating</summary>
      <div class="workroom-fields">
        <Select
          label="Pan, as it is planned"
          options={plan.pans.map(({ id, name }) => ({ value: id as string, label: name }))}
          value={panId}
          onValue={setPanId}
        />
        <Quantity
          label="From"
          field={{ kind: "temperature", max: 130 }}
          value={from}
          onValue={setFrom}
          show={showCelsius}
          optional
        />
        <Quantity
          label="To"
          field={{ kind: "temperature", max: 130 }}
          value={to}
          onValue={setTo}
          show={showCelsius}
          optional
        />
        <Quantity
          label="In"
          field={{ kind: "time", max: 86_400 }}
          value={seconds}
          onValue={setSeconds}
          show={minutesText}
          optional
        />
      </div>
      {share !== null &&
        (refused(share) ? (
          <p class="time-warning">{share.say}</p>
        ) : (
          <button type="button" class="quiet-button" onClick={() => onEfficiency(share)}>
            {`${Math.round(share * 1_000) / 10}\u202f% reaches the pan: reckon with that`}
          </button>
        ))}
    </details>
  );
}

function sayFrom(sessions: number): string {
  if (sessions === 0) return "The usual figures, until there is a session of yours to go by.";
  return `Your own middle values, from your last ${sessions === 1 ? "session" : `${sessions} sessions`}; the usual figure for what you did not do in ${sessions === 1 ? "it" : "them"}.`;
}
