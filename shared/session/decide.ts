import { sightedOf } from "../colour/seen.ts";
import { settle } from "../dye/amount.ts";
import { showVolume } from "../dye/display.ts";
import { type Refusal, refused } from "../dye/refusal.ts";
import { leftUl, totalUg } from "../dye/vessel.ts";
import type { Act, Entry, Replacement, StepAmount } from "./act.ts";
import {
  type Bench,
  type BenchProblem,
  type BenchVessel,
  isProblem,
  replacements,
  replay,
} from "./bench.ts";
import type { AfterCommand, Command, PourWish } from "./command.ts";
import type { SessionEvent } from "./event.ts";
import { pourNow, wholePan } from "./pourNow.ts";
import { sayLeft, sayName, sayPan, saySkein, sayVessel } from "./say.ts";
import type { Id, Pour, Setup, Share, Step } from "./setup.ts";
import { currentStep, isOpen, type State, stepAmount } from "./state.ts";

/** Why a command changed nothing, or the events it leads to. */
export type Refused = { ok: false } & Refusal;
export type Decision = { ok: true; events: readonly SessionEvent[] } | Refused;

/** A pedal that bounces presses twice within this time, ms. */
export const bounceMs = 400;

/**
 * What becomes of a command: the events it leads to, or a refusal. Pure; `at` is the moment of the
 * tap in ms. The same function runs on the server, which has the last word, and on the tablet,
 * which shows at once what the server will say.
 */
export function decide(state: State, command: Command, at: number): Decision {
  switch (command.type) {
    case "goLive":
      if (state.phase === "live") return no("live", "This session is live already.");
      if (state.phase === "closed") return no("closed", "This session is closed. Reopen it first.");
      return yes({ type: "wentLive" });
    case "close":
      if (state.phase === "closed") return no("closed", "This session is closed already.");
      return stillHeating(state) ?? yes({ type: "closed" });
    case "reopen":
      if (state.phase !== "closed") return no("open", "This session is open already.");
      return yes({ type: "reopened" });
    case "show":
      return yes({ type: "shown", view: command.view, parts: command.parts });
    case "showCode":
      return yes({ type: "codeShown", address: command.address });
    case "holdBack":
      return yes({ type: "heldBack", seconds: command.seconds });
    case "after":
      return decideAfter(state, command.command, at);
    default:
      if (state.phase === "closed") {
        return no("closed", "This session is closed. Reopen it to write in its record.");
      }
      if (state.phase === "ready" && needsLive.has(command.type)) {
        return no("notLive", "The session is not live yet. Go live first.");
      }
      return decideBench(state, command, at);
  }
}

/** Nobody is reminded of a hot pan once the session is closed; a resting one may cool overnight. */
function stillHeating(state: State): Refused | null {
  const hot = Object.values(state.bench.timers).find(
    (timer) => timer.stoppedAt === null && timer.how !== "rest",
  );
  if (!hot) return null;
  return no(
    "stillHeating",
    `${capital(sayPan(state, hot.pan))} is still on the heat. ` +
      "See to it and end its timer, then close the session.",
  );
}

/** Stocks, pans and notes may be seen to before the stream; what dyes the yarn may not. */
const needsLive: ReadonlySet<Command["type"]> = new Set(["advance", "skip", "pour", "timerStart"]);

type BenchCommand = Exclude<
  Command,
  { type: "goLive" | "close" | "reopen" | "show" | "showCode" | "holdBack" | "after" }
>;

/** What is written after the close: nothing that happened on air is undone, it is corrected. */
function decideAfter(state: State, command: AfterCommand, at: number): Decision {
  if (state.phase !== "closed") {
    return no("stillOpen", "This session is open. Close it before you write what came after it.");
  }
  if (state.liveAt === null) {
    return no("neverLive", "This session never went live, so nothing came after it.");
  }
  switch (command.type) {
    case "undo":
      if (state.acts.at(-1)?.offAir !== true) {
        return no("onAir", "What was done on air is not undone any more. Correct it, and say why.");
      }
      return decideBench(state, command, at);
    case "correct":
      if (command.reason === "") {
        return no("noReason", "Say why it is corrected: viewers may have copied it already.");
      }
      return decideBench(state, command, at);
    case "rinse": {
      const { skeins, water, cloth, words } = command;
      const stranger = skeins.some((id) => !state.bench.skeins[id]);
      if (stranger) return no("unknownSkein", "This session has no such skein.");
      const own = [...new Set(skeins)];
      return acted({
        kind: "rinse",
        skeins: own,
        water,
        ...(cloth === undefined ? {} : { cloth }),
        words,
      });
    }
    case "result": {
      const { skein, seen, photograph, words } = command;
      if (!state.bench.skeins[skein]) {
        return no("unknownSkein", "This session has no such skein.");
      }
      if (seen === undefined && photograph === undefined) {
        return no("noResult", "Say what colour it has, or take a photograph of it.");
      }
      const sighted = seen === undefined ? null : sightedOf(seen);
      if (refused(sighted)) return no(sighted.code, sighted.say);
      return acted({
        kind: "result",
        skein,
        ...(seen === undefined ? {} : { seen }),
        ...(photograph === undefined ? {} : { photograph }),
        words,
      });
    }
    case "empty":
      return decideEmpty(state, command);
    default:
      return decideBench(state, command, at);
  }
}

/**
 * All that is left in some bottles, as one pour after another on one new skein; what else lies in its
 * pan is taken out before, so that none of it falls there.
 */
function decideEmpty(state: State, command: Extract<AfterCommand, { type: "empty" }>): Decision {
  const { skein } = command;
  if (state.bench.skeins[skein.id]) {
    return no("taken", `There is a skein ${skein.name} already. Give this one another name.`);
  }
  if (!state.setup.bases[skein.base]) {
    return no("unknownBase", "This session has no such base. Choose one of its bases.");
  }
  const vessels = [...new Set(command.vessels)];
  const missing =
    noPan(state, skein.pan) ?? vessels.map((id) => noVessel(state, id)).find((no) => no !== null);
  if (missing) return missing;
  const full = vessels.filter((id) => {
    const there = state.bench.vessels[id];
    return there !== undefined && leftUl(there.vessel) > 0;
  });
  if (full.length === 0) {
    return no("nothingLeft", "Nothing is left in these bottles. Choose one that holds something.");
  }
  const out = Object.values(state.bench.skeins).flatMap((there): Act[] =>
    there.pan === skein.pan
      ? [{ kind: "skeinMove", skein: there.skein.id, from: skein.pan, to: null }]
      : [],
  );
  const pours = full.map((id): Act => {
    const volumeUl = leftUl((state.bench.vessels[id] as BenchVessel).vessel);
    // A bottle holds what the record says, less what the pours before were off by.
    const plusMinusUl = Math.min(volumeUl, levelDoubtUl(state, id, { unsettled: true }));
    const how = plusMinusUl === 0 ? ("measured" as const) : ("estimated" as const);
    return {
      kind: "pour",
      pour: {
        source: { from: "vessel", vessel: id, amount: { how, volumeUl, plusMinusUl } },
        pan: skein.pan,
        shares: [{ skein: skein.id, parts: skein.massUg }],
        technique: "immersion",
        coverage: 1,
      },
    };
  });
  const acts: readonly Act[] = [...out, { kind: "skeinNew", skein }, ...pours];
  return yes(...acts.map((act): SessionEvent => ({ type: "acted", act, advances: false })));
}

function decideBench(state: State, command: BenchCommand, at: number): Decision {
  switch (command.type) {
    case "choose":
      return decideChoose(state, command.step);
    case "adjust":
      return decideAdjust(state, command.expect, command.amount);
    case "advance":
      return decideAdvance(state, command.expect, at);
    case "skip": {
      const stale = notCurrent(state, command.expect);
      return stale ?? bounce(state, at) ?? acted({ kind: "skip", step: command.expect }, true);
    }
    case "pour": {
      const pour = resolvePour(state, command.pour);
      return "code" in pour ? pour : tryAct(state, { kind: "pour", pour });
    }
    case "add": {
      const { pan, what, label, amount } = command;
      return noPan(state, pan) ?? tryAct(state, { kind: "add", pan, what, label, amount });
    }
    case "mix":
      return decideMix(state, command);
    case "discard": {
      const { vessel, volumeUl, how } = command;
      return (
        noVessel(state, vessel) ??
        tooMuch(state, vessel, volumeUl) ??
        tryAct(state, { kind: "discard", vessel, volumeUl, how })
      );
    }
    case "read":
      return decideRead(state, command);
    case "undo":
      return decideUndo(state, command.expect, at);
    case "correct":
      return decideCorrect(state, command);
    case "skeinNew": {
      const { skein } = command;
      if (state.bench.skeins[skein.id]) {
        return no("taken", `There is a skein ${skein.name} already. Give this one another name.`);
      }
      if (!state.setup.bases[skein.base]) {
        return no("unknownBase", "This session has no such base. Choose one of its bases.");
      }
      const pan = skein.pan === undefined ? null : noPan(state, skein.pan);
      return pan ?? tryAct(state, { kind: "skeinNew", skein });
    }
    case "skeinMove": {
      const { skein, to } = command;
      const there = state.bench.skeins[skein];
      if (!there) return no("unknownSkein", "This session has no such skein.");
      if (there.pan === to) {
        return no("same", `${capital(saySkein(state, skein))} is there already.`);
      }
      const from = there.pan === null ? {} : { from: there.pan };
      return (
        (to === null ? null : noPan(state, to)) ?? acted({ kind: "skeinMove", skein, ...from, to })
      );
    }
    case "panNew":
      if (state.bench.pans[command.pan.id]) {
        return no("taken", `There is a pan ${command.pan.name} already. Give it another name.`);
      }
      return acted({ kind: "panNew", pan: command.pan });
    case "temperature": {
      const { pan, celsius } = command;
      return noPan(state, pan) ?? acted({ kind: "temperature", pan, celsius });
    }
    case "look": {
      const { pan, look } = command;
      return noPan(state, pan) ?? acted({ kind: "look", pan, look });
    }
    case "bath": {
      const { pan, fate } = command;
      return noPan(state, pan) ?? acted({ kind: "bath", pan, fate });
    }
    case "timerStart": {
      const { timer, how, pan, seconds, waitingFor } = command;
      if (state.bench.timers[timer]) return no("taken", "This timer is running already.");
      return (
        noPan(state, pan) ??
        acted({ kind: "timerStart", timer, how, pan, seconds, waitingFor, wait: false })
      );
    }
    case "timerExtend":
    case "timerStop":
      return decideTimer(state, command, at);
    case "note":
      return acted({ kind: "note", text: command.text, seen: command.seen });
  }
}

function decideChoose(state: State, id: Id): Decision {
  const step = state.setup.steps.find((step) => step.id === id);
  if (!step) return no("unknownStep", "This step is not in the pour sheet.");
  if (!isOpen(state, id)) {
    return no(
      "stepDone",
      "This step is done. Undo it, or write what was different as a correction.",
    );
  }
  return yes({ type: "chosen", step: id });
}

function decideAdjust(state: State, expect: Id, amount: StepAmount): Decision {
  const stale = notCurrent(state, expect);
  if (stale) return stale;
  const step = currentStep(state);
  const planned = step === null ? null : stepAmount(state, step);
  if (planned?.of !== amount.of) {
    return no("otherAmount", "This step takes another kind of amount. Reload the page.");
  }
  const doubt = amount.of === "addition" ? null : noDoubt(amount);
  if (doubt) return doubt;
  return yes({ type: "adjusted", step: expect, amount });
}

function decideAdvance(state: State, expect: Id, at: number): Decision {
  const stop = notCurrent(state, expect) ?? bounce(state, at);
  if (stop) return stop;
  const step = currentStep(state);
  if (step === null) return no("nothingNext", "All steps are done. Pour unplanned, or close.");
  switch (step.kind) {
    case "pour": {
      const pour = pourNow(state, step);
      if (step.pour.shares.length > 0 && pour.shares.length === 0) {
        return no(
          "skeinsGone",
          `The skeins of this pour are no longer in ${sayPan(state, pour.pan)}. ` +
            "Put them back, or skip the pour.",
        );
      }
      return tryAct(state, { kind: "pour", step: step.id, pour }, true);
    }
    case "add": {
      const { id, pan, what, label } = step;
      const pending = stepAmount(state, step);
      const amount = pending?.of === "addition" ? pending.amount : step.amount;
      return acted({ kind: "add", step: id, pan, what, label, amount }, true);
    }
    case "heat": {
      const running = Object.values(state.bench.timers).find(
        (timer) => timer.step === step.id && timer.stoppedAt === null,
      );
      if (running) return acted({ kind: "timerStop", timer: running.id, step: step.id }, true);
      const { id, how, pan, seconds, waitingFor, wait } = step;
      // The number of events is in the name because a step that was undone may start again.
      const timer = `${id}.${state.seq + 1}`;
      return acted(
        { kind: "timerStart", timer, step: id, how, pan, seconds, waitingFor, wait },
        true,
      );
    }
  }
}

function decideTimer(
  state: State,
  command: Extract<Command, { type: "timerExtend" | "timerStop" }>,
  at: number,
): Decision {
  const timer = state.bench.timers[command.timer];
  if (!timer) return no("unknownTimer", "There is no such timer.");
  if (timer.stoppedAt !== null) return no("timerDone", "This timer has been ended already.");
  if (command.type === "timerExtend") {
    return acted({ kind: "timerExtend", timer: timer.id, seconds: command.seconds });
  }
  // Ending the timer that the session waits for is the same act as moving on from its step.
  if (timer.step !== null && isOpen(state, timer.step)) {
    const step = timer.step;
    return bounce(state, at) ?? acted({ kind: "timerStop", timer: timer.id, step }, true);
  }
  return acted({ kind: "timerStop", timer: timer.id });
}

function decideMix(state: State, command: Extract<Command, { type: "mix" }>): Decision {
  const { into, made, parts, powder, waterUl } = command;
  const exists = state.bench.vessels[into] !== undefined;
  if (exists && made) {
    return no("taken", `There is a bottle or jug ${made.name} already. Give it another name.`);
  }
  if (!exists && !made) return no("unknownVessel", "There is no such bottle or jug to top up.");
  if (parts.some((part) => part.vessel === into)) {
    return no("intoItself", "A bottle cannot be poured into itself. Choose another one.");
  }
  const unknown = parts.map((part) => noVessel(state, part.vessel)).find((no) => no !== null);
  if (unknown) return unknown;
  const stranger = powder.find((part) => !state.setup.dyes[part.dye]);
  if (stranger) return no("unknownDye", "This session has no such dye. Choose one of its dyes.");
  const top = state.bench.vessels[into];
  const heldUl = top ? leftUl(top.vessel) : 0;
  if (heldUl + waterUl + parts.reduce((sum, part) => sum + part.volumeUl, 0) === 0) {
    return no("empty", "There is no liquid in this mix. Add stock or water.");
  }
  if (parts.length === 0 && powder.length === 0 && waterUl === 0) {
    return no("empty", "Nothing goes into this mix. Add stock, powder or water.");
  }
  const act: Act = { kind: "mix", into, parts, powder, waterUl, ...(made ? { made } : {}) };
  const mixed = benchWith(state, act);
  if (isProblem(mixed)) return sayProblem(state, mixed);
  const dyeUg = totalUg(mixed.vessels[into]?.vessel.madeUg ?? {});
  return dyeUg === 0
    ? no("noDye", "There is no dye in this mix. Add stock or powder.")
    : acted(act);
}

function decideRead(state: State, command: Extract<Command, { type: "read" }>): Decision {
  const { vessel: id, reading } = command;
  const vessel = state.bench.vessels[id];
  if (!vessel) return no("unknownVessel", "There is no such bottle or jug.");
  const open = state.bench.poured.flatMap((poured) => {
    const { source } = poured.pour;
    if (source.from !== "vessel" || source.vessel !== id || source.amount.how !== "unsettled") {
      return [];
    }
    const { volumeUl, plusMinusUl } = source.amount;
    return [{ id: String(poured.act), volumeUl, plusMinusUl }];
  });
  const guessedUl = open.reduce((sum, pour) => sum + pour.volumeUl, 0);
  const bookUl = leftUl(vessel.vessel);
  const first = Number(open[0]?.id ?? 0);
  const doubtUl =
    reading.by === "level"
      ? levelDoubtUl(state, id, { unsettled: false })
      : doubtOfPoursUl(state, id, { from: first, unsettled: false });
  let goneUl: number;
  let plusMinusUl: number;
  if (reading.by === "level") {
    goneUl = bookUl + guessedUl - reading.leftUl;
    plusMinusUl = reading.plusMinusUl + doubtUl;
    if (open.length === 0) return decideLevel(state, id, goneUl, plusMinusUl, reading.plusMinusUl);
  } else {
    if (open.length === 0) {
      return no("nothingToSettle", "No pour from it waits for a weight. Read its level instead.");
    }
    const others = drawnSince(state, id, first);
    if (others === null) {
      return no("toppedUp", "It was topped up since that pour. Read its level instead.");
    }
    // A gram of dilute dye liquor is taken as a millilitre; common practice, no source.
    goneUl = Math.round((reading.beforeUg - reading.afterUg) / 1000) - others;
    plusMinusUl = Math.ceil(reading.plusMinusUg / 1000) + doubtUl;
  }
  if (goneUl <= 0) {
    return no(
      "nothingGone",
      `By this reading nothing is gone from ${sayVessel(state, id)}. Read it again, or undo the pour.`,
    );
  }
  if (goneUl > bookUl + guessedUl) {
    return no(
      "tooMuch",
      `By this reading ${showVolume(goneUl)} is gone, more than ${sayVessel(state, id)} held. ` +
        "Read it again.",
    );
  }
  const amounts = settle(open, goneUl, plusMinusUl).map((settled) => ({
    act: Number(settled.id),
    volumeUl: settled.volumeUl,
    plusMinusUl: settled.plusMinusUl,
  }));
  if (amounts.some((amount) => amount.volumeUl <= 0)) {
    return no("nothingGone", "By this reading one of the pours was nothing. Read it again.");
  }
  const left = reading.by === "level" ? { leftPlusMinusUl: reading.plusMinusUl } : {};
  return tryAct(state, { kind: "settle", vessel: id, by: reading.by, amounts, ...left });
}

/** What else left a bottle since its first unsettled pour, uL; `null` when it was topped up. */
function drawnSince(state: State, id: Id, first: number): number | null {
  let drawnUl = 0;
  for (const { act: seq, pour } of state.bench.poured) {
    const { source } = pour;
    if (seq < first || source.from !== "vessel" || source.vessel !== id) continue;
    if (source.amount.how !== "unsettled") drawnUl += source.amount.volumeUl;
  }
  for (const { seq, act } of state.acts) {
    if (seq < first) continue;
    if (act.kind === "mix" && act.into === id) return null;
    if (act.kind === "discard" && act.vessel === id) drawnUl += act.volumeUl;
    if (act.kind !== "mix") continue;
    for (const part of act.parts) if (part.vessel === id) drawnUl += part.volumeUl;
  }
  return drawnUl;
}

/** How far off the level of a bottle may be, uL: as well as it was last read, and its pours since. */
function levelDoubtUl(state: State, id: Id, { unsettled }: { unsettled: boolean }): number {
  const [read] = state.acts
    .flatMap(({ seq, act }) => {
      const level = (act.kind === "settle" || act.kind === "discard") && act.vessel === id;
      const plusMinusUl = level ? act.leftPlusMinusUl : undefined;
      return plusMinusUl === undefined ? [] : [{ seq, plusMinusUl }];
    })
    .slice(-1);
  const since = doubtOfPoursUl(state, id, { from: (read?.seq ?? 0) + 1, unsettled });
  return (read?.plusMinusUl ?? 0) + since;
}

/** How much in doubt the pours from a bottle are, uL, from an act on; the unsettled ones or not. */
function doubtOfPoursUl(
  state: State,
  id: Id,
  { from, unsettled }: { from: number; unsettled: boolean },
): number {
  return state.bench.poured.reduce((sum, { act, pour: { source } }) => {
    const counted = source.from === "vessel" && source.vessel === id && act >= from;
    if (!counted || (source.amount.how === "unsettled" && !unsettled)) return sum;
    return sum + source.amount.plusMinusUl;
  }, 0);
}

/** A level read with no pour to settle: what is missing was spilled. */
function decideLevel(
  state: State,
  id: Id,
  goneUl: number,
  plusMinusUl: number,
  leftPlusMinusUl: number,
): Decision {
  if (Math.abs(goneUl) <= plusMinusUl) {
    return no(
      "same",
      `${sayVessel(state, id)} holds what the record says, as near as it was read.`,
    );
  }
  if (goneUl > 0) {
    return (
      tooMuch(state, id, goneUl) ??
      tryAct(state, {
        kind: "discard",
        vessel: id,
        volumeUl: goneUl,
        how: "spilled",
        leftPlusMinusUl,
      })
    );
  }
  return no(
    "moreThanBook",
    `${sayVessel(state, id)} holds ${showVolume(-goneUl)} more than the record says. ` +
      "Correct the pour that was smaller than written, or top the bottle up in the record.",
  );
}

function decideUndo(state: State, expect: number, at: number): Decision {
  const last = state.acts.at(-1);
  if (!last) return no("nothingToUndo", "There is nothing to undo.");
  if (last.seq !== expect) {
    return no("stale", "Something else was done since. Look at the undo button again.");
  }
  const { lastUndoAt } = state;
  if (lastUndoAt !== null && Math.abs(at - lastUndoAt) < bounceMs) return bounced();
  return yes({ type: "undone", act: last.seq });
}

function decideCorrect(state: State, command: Extract<Command, { type: "correct" }>): Decision {
  const { act: seq, to, reason } = command;
  const entry = state.acts.find((entry) => entry.seq === seq);
  const written = entry?.act;
  if (!written || (written.kind !== "pour" && written.kind !== "add")) {
    return no("unknownAct", "There is no such pour or addition in the record any more.");
  }
  if (replacements(state.acts).get(seq)?.to === null) {
    return no("takenOut", "This entry was taken out of the record already. Undo that first.");
  }
  if (to !== null && to.kind !== written.kind) {
    return no("otherKind", "A pour stays a pour and an addition an addition. Take it out instead.");
  }
  const resolved = resolveCorrection(state, seq, written, to);
  if (resolved !== null && "code" in resolved) return resolved;
  return tryAct(state, { kind: "correct", act: seq, to: resolved, reason });
}

/** Skeins that were put on the bench after an act, so that it cannot have reached them. */
function broughtAfter(state: State, seq: number): ReadonlySet<Id> {
  return new Set(
    state.acts.flatMap((entry) =>
      entry.seq > seq && entry.act.kind === "skeinNew" ? [entry.act.skein.id] : [],
    ),
  );
}

function resolveCorrection(
  state: State,
  seq: number,
  written: Extract<Act, { kind: "pour" | "add" }>,
  to: Extract<Command, { type: "correct" }>["to"],
): Replacement | Refused {
  if (to === null) return null;
  const step = written.step === undefined ? {} : { step: written.step };
  if (to.kind === "add") {
    const { pan, what, label, amount } = to;
    return noPan(state, pan) ?? { kind: "add", ...step, pan, what, label, amount };
  }
  // Skeins that have left the pan since were there when it was poured.
  const same = written.kind === "pour" && written.pour.pan === to.pour.pan;
  const then = same ? written.pour.shares : "others";
  const pour = resolvePour(state, to.pour, then, broughtAfter(state, seq));
  return "code" in pour ? pour : { kind: "pour", ...step, pour };
}

/**
 * A wished pour with its shares worked out, or why it cannot be. `was` is given for a correction:
 * what the pour was shared over then, or that it was another pan; `later` are skeins that were not on
 * the bench yet.
 */
function resolvePour(
  state: State,
  wish: PourWish,
  was?: readonly Share[] | "others",
  later: ReadonlySet<Id> = new Set(),
): Pour | Refused {
  const { source, pan, skeins, technique, coverage, placement } = wish;
  const missing =
    noPan(state, pan) ?? noSource(state.setup, state.bench, source) ?? noDoubt(source);
  if (missing) return missing;
  if (source.from === "vessel" && was === undefined) {
    const over = tooMuch(state, source.vessel, source.amount.volumeUl);
    if (over) return over;
  }
  const placed = placement === undefined ? {} : { placement };
  const then = was === undefined || was === "others" ? null : was;
  const there = wholePan(state, pan).filter(({ skein }) => !later.has(skein));
  if (!skeins) return { source, pan, shares: then ?? there, technique, coverage, ...placed };
  const shares: Share[] = [];
  for (const id of new Set(skeins)) {
    const known = then?.find((share) => share.skein === id);
    const share = known ?? there.find((share) => share.skein === id);
    const skein = state.bench.skeins[id]?.skein;
    if (!share && (!(then && skein) || later.has(id))) {
      return no(
        "skeinNotThere",
        `${capital(saySkein(state, id))} is not in ${sayPan(state, pan)}. Choose among those in it.`,
      );
    }
    shares.push(share ?? { skein: id, parts: skein?.massUg ?? 0 });
  }
  return { source, pan, shares, technique, coverage, ...placed };
}

/** An amount that may be nothing at all, or twice itself, is no amount. */
function noDoubt({ amount }: { amount: Pour["source"]["amount"] }): Refused | null {
  const [of, plusMinus] =
    "volumeUl" in amount
      ? [amount.volumeUl, amount.plusMinusUl]
      : [amount.massUg, amount.plusMinusUg];
  if (plusMinus <= of) return null;
  return no("tooDoubtful", "The uncertainty is larger than the amount. Give a smaller one.");
}

function noSource(setup: Setup, bench: Bench, source: Pour["source"]): Refused | null {
  if (source.from === "powder") {
    return setup.dyes[source.dye]
      ? null
      : no("unknownDye", "This session has no such dye. Choose one of its dyes.");
  }
  return bench.vessels[source.vessel]
    ? null
    : no("unknownVessel", "There is no such bottle or jug. Choose one that is on the bench.");
}

function noPan(state: State, id: Id): Refused | null {
  return state.bench.pans[id] ? null : no("unknownPan", "There is no such pan on the bench.");
}

function noVessel(state: State, id: Id): Refused | null {
  return state.bench.vessels[id]
    ? null
    : no("unknownVessel", "There is no such bottle or jug on the bench.");
}

function tooMuch(state: State, id: Id, volumeUl: number): Refused | null {
  const vessel = state.bench.vessels[id];
  const heldUl = vessel ? leftUl(vessel.vessel) : 0;
  if (volumeUl <= heldUl) return null;
  const held = sayLeft(state, id);
  const wanted = showVolume(volumeUl);
  const short = showVolume(volumeUl - heldUl);
  return no(
    "tooMuch",
    `${sayVessel(state, id)} holds ${held}, ${held === wanted ? `${short} too little` : `not ${wanted}`}. ` +
      "Pour less, or make up more first.",
  );
}

function notCurrent(state: State, expect: Id): Refused | null {
  const step: Step | null = currentStep(state);
  if (step?.id === expect) return null;
  return no(
    "stale",
    step === null
      ? "All steps are done by now. Nothing was changed."
      : "Another step is current now. Nothing was changed; look again and tap.",
  );
}

function bounce(state: State, at: number): Refused | null {
  const { lastAdvanceAt } = state;
  if (lastAdvanceAt === null || Math.abs(at - lastAdvanceAt) >= bounceMs) return null;
  return bounced();
}

function bounced(): Refused {
  return no("bounce", "Two presses came at once. The second was not counted.");
}

/** The act, unless the bottles cannot give what it and all after it need. */
function tryAct(state: State, act: Act, advances = false): Decision {
  if (act.kind === "pour") {
    const { source } = act.pour;
    const over =
      source.from === "vessel" ? tooMuch(state, source.vessel, source.amount.volumeUl) : null;
    return over ?? acted(act, advances);
  }
  if (act.kind === "correct" || act.kind === "settle") {
    const bench = benchWith(state, act);
    if (isProblem(bench)) return sayProblem(state, bench);
  }
  return acted(act, advances);
}

function benchWith(state: State, act: Act): Bench | BenchProblem {
  const entry: Entry = { seq: state.seq + 1, at: 0, act };
  return replay(state.setup, [...state.acts, entry]);
}

function sayProblem(state: State, problem: BenchProblem): Refused {
  const { vessel: id, leftUl } = problem;
  const name = state.bench.vessels[id]?.name ?? "this mix";
  switch (problem.code) {
    case "overdrawn":
      return no(
        "tooMuch",
        `${sayVessel(state, id)} does not hold so much: ` +
          `${showVolume(leftUl)} would be left for a draw that needs more. ` +
          "Give a smaller amount, or make up more first.",
      );
    case "noLiquid":
      return no("empty", `There would be no liquid in ${sayName(name)}. Add stock or water.`);
    case "tooStrong":
      return no("tooStrong", `There would be more dye than liquid in ${sayName(name)}. Add water.`);
  }
}

function acted(act: Act, advances = false): Decision {
  return yes({ type: "acted", act, advances });
}

function yes(...events: SessionEvent[]): Decision {
  return { ok: true, events };
}

function no(code: string, say: string): Refused {
  return { ok: false, code, say };
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
