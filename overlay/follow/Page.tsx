import { options } from "preact";
import { useCallback, useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { type FollowRecipe, followRecipe } from "../../shared/session/views/followRecipe.ts";
import type { Own } from "../../shared/session/views/ownTerms.ts";
import type { Connection, Held } from "../live/held.ts";
import type { Listening, ListenOptions } from "../live/listen.ts";
import { type Change, changesBetween } from "./changes.ts";
import { Follow } from "./Follow.tsx";
import { HeldBack } from "./heldBack.ts";
import { type Choices, keep, keptFor, noChoices, ownOf } from "./kept.ts";
import { Drawings } from "./Strip.tsx";

/** A connection that comes back sooner is not worth a word. */
const patienceMs = 3_000;
const mostChanges = 5;

const storage = () => window.localStorage;

type Shown = {
  held: Held;
  choices: Choices;
  own: Own;
  recipe: FollowRecipe;
  changes: readonly Change[];
};

export type PageProps = {
  /** What the page came with. */
  first: Held | null;
  /** Where changes come from; `null` where there is no bench, as in a file. */
  listen: ((options: ListenOptions) => Listening) | null;
  /** What is in force until the viewer chooses otherwise. */
  given: (held: Held) => Choices;
  /** When it was saved to a file, ms. */
  savedAt: number | null;
  /** The server's clock as the page was made, ms, for its first drawing. */
  madeAt: number;
};

/** A view on its own, or the one after it. */
function next(shown: Shown | null, held: Held, choicesFor: (held: Held) => Choices): Shown {
  if (shown?.held.session !== held.session) {
    const choices = choicesFor(held);
    const own = ownOf(choices);
    return { held, choices, own, recipe: followRecipe(held.view, own), changes: [] };
  }
  const { own, choices } = shown;
  const recipe = followRecipe(held.view, own, shown.recipe);
  const was = { view: shown.held.view, recipe: shown.recipe };
  const changes = changesBetween(was, { view: held.view, recipe, seq: held.seq });
  return {
    held,
    own,
    choices,
    recipe,
    changes: [...changes.reverse(), ...shown.changes].slice(0, mostChanges),
  };
}

/**
 * The whole page. It is drawn by the server first, with the session's own amounts, and taken over
 * as it stands; what the viewer chose comes in before the next drawing.
 */
export function Page({ first, listen, given, savedAt, madeAt }: PageProps) {
  const [shown, setShown] = useState<Shown | null>(() =>
    first === null ? null : next(null, first, () => noChoices),
  );
  const [connection, setConnection] = useState<Connection | null>(null);
  const [patient, setPatient] = useState(true);
  const [paper, setPaper] = useState(false);
  const [drawings, setDrawings] = useState<typeof import("./drawings.ts") | null>(null);
  const listening = useRef<Listening | null>(null);
  const latest = useRef<Shown | null>(null);
  latest.current = shown;
  const choicesFor = useCallback(
    (held: Held) => keptFor(held.session, storage) ?? given(held),
    [given],
  );

  useLayoutEffect(() => {
    setShown((was) => (was === null ? was : chosen(was, choicesFor(was.held))));
    if (listen === null) return;
    const later = new HeldBack((held) => setShown((was) => next(was, held, choicesFor)));
    const mine = listen({
      onView: (held, ageMs) => later.take(held, ageMs),
      onState: setConnection,
      ...(first === null ? {} : { held: first }),
    });
    listening.current = mine;
    return () => {
      mine.close();
      later.close();
    };
  }, [listen, first, choicesFor]);

  const connected = listen === null || connection?.connected === true;
  useEffect(() => {
    setPatient(true);
    if (connected) return;
    const waiting = setTimeout(() => setPatient(false), patienceMs);
    return () => clearTimeout(waiting);
  }, [connected]);

  const choose = useCallback((choices: Choices) => {
    if (latest.current === null) return;
    keep(latest.current.held.session, choices, storage);
    setShown((was) => (was === null ? was : chosen(was, choices)));
  }, []);

  const large = shown?.choices.large === true;
  useEffect(() => {
    document.documentElement.classList.toggle("large", large);
  }, [large]);

  useEffect(() => {
    // Where they do not come the page goes on without; the amounts are what it is for.
    import("./drawings.ts").then(setDrawings, () => {});
  }, []);

  useEffect(() => {
    const before = () => drawAtOnce(() => setPaper(true));
    const after = () => setPaper(false);
    window.addEventListener("beforeprint", before);
    window.addEventListener("afterprint", after);
    return () => {
      window.removeEventListener("beforeprint", before);
      window.removeEventListener("afterprint", after);
    };
  }, []);

  useEffect(() => {
    if (shown && savedAt === null) document.title = titleOf(shown);
  }, [shown, savedAt]);

  const holdBackMs = (shown?.held.view.session.holdBackSeconds ?? 0) * 1_000;
  const serverNow = useCallback(
    () => (listening.current?.serverNow() ?? madeAt) - holdBackMs,
    [madeAt, holdBackMs],
  );
  const behind = connected || patient ? null : (connection?.heldSince ?? madeAt);
  if (shown === null) return <Opening gone={!connected && !patient} />;
  return (
    <Drawings.Provider value={drawings}>
      <Follow
        view={shown.held.view}
        recipe={shown.recipe}
        choices={shown.choices}
        choose={choose}
        changes={shown.changes}
        behindSince={behind}
        serverNow={serverNow}
        asRecipe={paper || savedAt !== null}
        savedAt={savedAt}
      />
    </Drawings.Provider>
  );
}

function chosen(was: Shown, choices: Choices): Shown {
  const own = ownOf(choices);
  return { ...was, choices, own, recipe: followRecipe(was.held.view, own, was.recipe) };
}

/** Changes that are drawn before this returns: a browser prints what stands there right after. */
function drawAtOnce(change: () => void): void {
  const { debounceRendering } = options;
  options.debounceRendering = (draw) => draw();
  change();
  options.debounceRendering = debounceRendering as NonNullable<typeof debounceRendering>;
}

function titleOf({ held, recipe }: Shown): string {
  const { name } = held.view.session;
  const { now, pours } = recipe;
  return now?.kind === "pour" ? `Pour ${now.nth} of ${pours.all}: ${name}` : name;
}

function Opening({ gone }: { gone: boolean }) {
  return (
    <main class="opening">
      <div role="status">
        <h1>{gone ? "The bench cannot be reached" : "Looking for the bench"}</h1>
        <p>
          {gone
            ? "The dyer's computer does not answer. This page goes on trying by itself; stay on the same network."
            : "The pours show here in a moment."}
        </p>
      </div>
      <noscript>
        Nothing is on the bench yet. Without JavaScript, reload this page to look again.
      </noscript>
    </main>
  );
}
