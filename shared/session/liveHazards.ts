import { type Hazard, hazardsOfAll, type LiveStep } from "../cautions/hazards.ts";
import type { Act } from "./act.ts";
import type { Addition, Heating, Id, Pour, Step } from "./setup.ts";
import type { State } from "./state.ts";

/**
 * Hazards of all that is under way: the step that is next, what was done last, and every pan that
 * is heating. A session cannot be closed while one is. The most urgent first.
 */
export function liveHazards(state: State, current: Step | null): readonly Hazard[] {
  if (state.phase !== "live") return [];
  const steps: LiveStep[] = [];
  if (current) steps.push(...ofStep(state, current));
  const last = state.acts.at(-1);
  if (last) steps.push(...ofAct(state, last.act));
  for (const timer of Object.values(state.bench.timers)) {
    if (timer.stoppedAt === null) steps.push(heating(state, timer.pan, timer.how));
  }
  return hazardsOfAll(steps);
}

function ofStep(state: State, step: Step): LiveStep[] {
  switch (step.kind) {
    case "pour":
      return [pouring(state, step.pour)];
    case "add":
      return [adding(state, step.pan, step.what)];
    case "heat":
      return [heating(state, step.pan, step.how)];
  }
}

function ofAct(state: State, act: Act): LiveStep[] {
  switch (act.kind) {
    case "pour":
      return [pouring(state, act.pour)];
    case "add":
      return [adding(state, act.pan, act.what)];
    case "mix": {
      const dyes = act.powder.map((part) => part.dye);
      const powder = dyes.length > 0;
      return [{ kind: "stockMade", powder, dyeHazards: hazardsOfDyes(state, dyes) }];
    }
    case "discard":
      return [{ kind: "tip" }];
    case "bath":
      return act.fate === "tipped" ? [{ kind: "tip", hot: isHot(state, act.pan) }] : [];
    case "skeinMove":
      return [act.from, act.to].flatMap((pan): LiveStep[] =>
        pan ? [{ kind: "skein", hot: isHot(state, pan) }] : [],
      );
    case "timerStop": {
      // Now the lid comes off.
      const timer = state.bench.timers[act.timer];
      return timer ? [heating(state, timer.pan, timer.how)] : [];
    }
    default:
      return [];
  }
}

function pouring(state: State, pour: Pour): LiveStep {
  const { source } = pour;
  const dyes =
    source.from === "powder"
      ? [source.dye]
      : Object.keys(state.bench.vessels[source.vessel]?.vessel.madeUg ?? {});
  return {
    kind: "pour",
    powder: source.from === "powder",
    dyeHazards: hazardsOfDyes(state, dyes),
    hot: isHot(state, pour.pan),
  };
}

function adding(state: State, pan: Id, what: Addition): LiveStep {
  return { kind: "add", what, hot: isHot(state, pan) };
}

function heating(state: State, pan: Id, how: Heating): LiveStep {
  return how === "rest" ? { kind: "rest", hot: isHot(state, pan) } : { kind: "heat", how };
}

function hazardsOfDyes(state: State, dyes: readonly Id[]): readonly Hazard[] {
  return dyes.flatMap((id) => state.setup.dyes[id]?.hazards ?? []);
}

/** Whether a pan may still scald: on the heat, or not yet cooled, rested or tipped since. */
export function isHot(state: State, id: Id): boolean {
  const heating = Object.values(state.bench.timers).some(
    (timer) => timer.pan === id && timer.how !== "rest" && timer.stoppedAt === null,
  );
  return heating || state.bench.pans[id]?.hot === true;
}
