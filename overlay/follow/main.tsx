import { render } from "preact";
import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import { type FollowRecipe, followRecipe } from "../../shared/session/views/followRecipe.ts";
import type { Own } from "../../shared/session/views/ownTerms.ts";
import { type Connection, type Held, type Watch, watch } from "../live/watch.ts";
import { type Change, changesBetween } from "./changes.ts";
import { Follow } from "./Follow.tsx";
import { type Choices, choicesFor, keep, ownOf } from "./kept.ts";
import "../../shared/draw/tokens.css";
import "./style.css";

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

/** The first view of a session, or the next one. */
function next(shown: Shown | null, held: Held): Shown {
  if (shown?.held.session !== held.session) {
    const choices = choicesFor(held.session, storage);
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

function Page() {
  const [shown, setShown] = useState<Shown | null>(null);
  const [connection, setConnection] = useState<Connection | null>(null);
  const [patient, setPatient] = useState(true);
  const watching = useRef<Watch | null>(null);

  useEffect(() => {
    const mine = watch({
      page: "follow",
      onView: (held) => setShown((was) => next(was, held)),
      onState: setConnection,
    });
    watching.current = mine;
    return () => mine.close();
  }, []);

  const connected = connection?.connected === true;
  useEffect(() => {
    setPatient(true);
    if (connected) return;
    const waiting = setTimeout(() => setPatient(false), patienceMs);
    return () => clearTimeout(waiting);
  }, [connected]);

  const latest = useRef<Shown | null>(null);
  latest.current = shown;
  const choose = useCallback((choices: Choices) => {
    if (latest.current === null) return;
    keep(latest.current.held.session, choices, storage);
    setShown((was) => {
      if (was === null) return was;
      const own = ownOf(choices);
      return { ...was, choices, own, recipe: followRecipe(was.held.view, own, was.recipe) };
    });
  }, []);

  useEffect(() => {
    if (shown) document.title = titleOf(shown);
  }, [shown]);

  const serverNow = useCallback(() => watching.current?.serverNow() ?? Date.now(), []);
  const behind = connected || patient ? null : (connection?.heldSince ?? null);
  if (shown === null) return <Opening gone={!connected && !patient} />;
  return (
    <Follow
      view={shown.held.view}
      recipe={shown.recipe}
      choices={shown.choices}
      choose={choose}
      changes={shown.changes}
      behindSince={behind}
      serverNow={serverNow}
    />
  );
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
    </main>
  );
}

const place = document.getElementById("follow");
if (place) render(<Page />, place);
