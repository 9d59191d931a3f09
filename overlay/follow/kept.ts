import type { Id } from "../../shared/session/setup.ts";
import { asInSession, type Own, type OwnFibre } from "../../shared/session/views/ownTerms.ts";
import { toolOf } from "./tools.ts";

/** What a viewer chose for one session: its dyes and skeins are not another's. */
type ForSession = {
  fibre: OwnFibre;
  dyePct: Readonly<Record<Id, number>>;
  mixPct: Readonly<Record<Id, number>>;
  /** No stocks: every pour is weighed as powder. */
  powder: boolean;
  /** The yarn is another base than the session's. */
  otherYarn: boolean;
};

/** What holds in every session. */
type ForAll = {
  toolId: string | null;
  dropUl: number | null;
  /** Teaspoons and ounces beside every amount. */
  kitchen: boolean;
  large: boolean;
};

/** What a viewer chose, as it is kept on the phone. */
export type Choices = ForSession & ForAll;

export const noChoices: Choices = {
  fibre: asInSession.fibre,
  dyePct: {},
  mixPct: {},
  powder: false,
  otherYarn: false,
  toolId: null,
  dropUl: null,
  kitchen: false,
  large: false,
};

export function ownOf({ fibre, dyePct, mixPct, powder, toolId, dropUl }: Choices): Own {
  return { fibre, dyePct, mixPct, powder, tool: toolOf(toolId, dropUl) };
}

const place = "pourside.follow";
const mostSessions = 8;

type Kept = ForAll & { sessions: [Id, ForSession][] };

/** Choices for a session as they were left; where storage is refused or broken, none. */
export function choicesFor(session: Id, storage: () => Storage): Choices {
  return keptFor(session, storage) ?? { ...noChoices, ...forAll(read(storage)) };
}

/** Choices that were left for this very session; `null` where there are none. */
export function keptFor(session: Id, storage: () => Storage): Choices | null {
  const kept = read(storage);
  const own = kept.sessions.find(([id]) => id === session)?.[1];
  return own === undefined ? null : { ...own, ...forAll(kept) };
}

/** Keeps choices on this phone, and goes on without where that is refused. */
export function keep(session: Id, choices: Choices, storage: () => Storage): void {
  const others = read(storage).sessions.filter(([id]) => id !== session);
  const sessions: Kept["sessions"] = [[session, forSession(choices)], ...others];
  const kept: Kept = { ...forAll(choices), sessions: sessions.slice(0, mostSessions) };
  try {
    storage().setItem(place, JSON.stringify(kept));
  } catch {
    // A private window, or storage that is full or switched off: the choices last as long as the page.
  }
}

/** Choices from outside, such as those written into a file: what is not one is left out. */
export function choicesFrom(found: unknown): Choices {
  const { fibre, dyePct, mixPct, powder, otherYarn, toolId, dropUl, kitchen, large } =
    fields(found);
  return {
    fibre: fibreOf(fibre),
    dyePct: strengths(dyePct),
    mixPct: strengths(mixPct),
    powder: powder === true,
    otherYarn: otherYarn === true,
    toolId: typeof toolId === "string" ? toolId : null,
    dropUl: isAbove0(dropUl) ? dropUl : null,
    kitchen: kitchen === true,
    large: large === true,
  };
}

function forAll({ toolId, dropUl, kitchen, large }: ForAll): ForAll {
  return { toolId, dropUl, kitchen, large };
}

function forSession({ fibre, dyePct, mixPct, powder, otherYarn }: ForSession): ForSession {
  return { fibre, dyePct, mixPct, powder, otherYarn };
}

function read(storage: () => Storage): Kept {
  let found: unknown;
  try {
    found = JSON.parse(storage().getItem(place) ?? "null");
  } catch {
    found = null;
  }
  const { sessions } = fields(found);
  return {
    ...forAll(choicesFrom(found)),
    sessions: (Array.isArray(sessions) ? sessions : []).flatMap((entry): Kept["sessions"] => {
      if (!Array.isArray(entry) || typeof entry[0] !== "string") return [];
      return [[entry[0], forSession(choicesFrom(entry[1]))]];
    }),
  };
}

function fields(value: unknown): Record<string, unknown> {
  return typeof value === "object" && value !== null ? { ...value } : {};
}

function isAbove0(value: unknown): value is number {
  return typeof value === "number" && Number.isFinite(value) && value > 0;
}

function fibreOf(value: unknown): OwnFibre {
  const { of, massUg, colourway } = fields(value);
  if (!isAbove0(massUg) || !Number.isSafeInteger(massUg)) return noChoices.fibre;
  if (of === "skein" || of === "set") return { of, massUg };
  return of === "colourway" && typeof colourway === "string"
    ? { of, colourway, massUg }
    : noChoices.fibre;
}

function strengths(value: unknown): Record<Id, number> {
  return Object.fromEntries(
    Object.entries(fields(value)).filter((entry): entry is [Id, number] => {
      return isAbove0(entry[1]) && entry[1] <= 100;
    }),
  );
}
