import type { Id } from "../../shared/session/setup.ts";
import { asInSession, type Own, type OwnFibre } from "../../shared/session/views/ownTerms.ts";
import { toolOf } from "./tools.ts";

/** What a viewer chose, as it is kept on the phone. Strengths and grams belong to one session. */
export type Choices = {
  fibre: OwnFibre;
  dyePct: Readonly<Record<Id, number>>;
  mixPct: Readonly<Record<Id, number>>;
  toolId: string | null;
  dropUl: number | null;
};

export const noChoices: Choices = {
  fibre: asInSession.fibre,
  dyePct: {},
  mixPct: {},
  toolId: null,
  dropUl: null,
};

export function ownOf({ fibre, dyePct, mixPct, toolId, dropUl }: Choices): Own {
  return { fibre, dyePct, mixPct, tool: toolOf(toolId, dropUl) };
}

const place = "pourside.follow";
const mostSessions = 8;

type Kept = {
  toolId: string | null;
  dropUl: number | null;
  sessions: [Id, Pick<Choices, "fibre" | "dyePct" | "mixPct">][];
};

/** Choices for a session as they were left; where storage is refused or broken, none. */
export function choicesFor(session: Id, storage: () => Storage): Choices {
  const { toolId, dropUl, sessions } = read(storage);
  const own = sessions.find(([id]) => id === session)?.[1];
  return { ...noChoices, ...own, toolId, dropUl };
}

/** Keeps choices on this phone, and goes on without where that is refused. */
export function keep(session: Id, choices: Choices, storage: () => Storage): void {
  const { fibre, dyePct, mixPct, toolId, dropUl } = choices;
  const others = read(storage).sessions.filter(([id]) => id !== session);
  const sessions: Kept["sessions"] = [[session, { fibre, dyePct, mixPct }], ...others];
  const kept: Kept = { toolId, dropUl, sessions: sessions.slice(0, mostSessions) };
  try {
    storage().setItem(place, JSON.stringify(kept));
  } catch {
    // A private window, or storage that is full or switched off: the choices last as long as the page.
  }
}

function read(storage: () => Storage): Kept {
  let found: unknown;
  try {
    found = JSON.parse(storage().getItem(place) ?? "null");
  } catch {
    found = null;
  }
  const { toolId, dropUl, sessions } = fields(found);
  return {
    toolId: typeof toolId === "string" ? toolId : null,
    dropUl: isAbove0(dropUl) ? dropUl : null,
    sessions: (Array.isArray(sessions) ? sessions : []).flatMap((entry): Kept["sessions"] => {
      if (!Array.isArray(entry) || typeof entry[0] !== "string") return [];
      const { fibre, dyePct, mixPct } = fields(entry[1]);
      const own = { fibre: fibreOf(fibre), dyePct: strengths(dyePct), mixPct: strengths(mixPct) };
      return [[entry[0], own]];
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
  const { of, massUg } = fields(value);
  const known =
    (of === "skein" || of === "set") && isAbove0(massUg) && Number.isSafeInteger(massUg);
  return known ? { of, massUg } : noChoices.fibre;
}

function strengths(value: unknown): Record<Id, number> {
  return Object.fromEntries(
    Object.entries(fields(value)).filter((entry): entry is [Id, number] => {
      return isAbove0(entry[1]) && entry[1] <= 100;
    }),
  );
}
