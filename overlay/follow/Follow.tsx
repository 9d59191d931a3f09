import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { AdditionMark } from "../../shared/draw/AdditionMark.tsx";
import { showVolume } from "../../shared/dye/display.ts";
import type { FollowRecipe, FollowStep, Need } from "../../shared/session/views/followRecipe.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";
import { CautionLine, LiveCautions, Safety } from "./Cautions.tsx";
import { Colours } from "./Colours.tsx";
import { Corrections } from "./Corrections.tsx";
import type { Change } from "./changes.ts";
import type { Choices } from "./kept.ts";
import { Coming, Done } from "./Lines.tsx";
import { Mine } from "./Mine.tsx";
import { type Means, meansOf } from "./means.ts";
import { Now } from "./Now.tsx";
import { Shapes } from "./Shapes.tsx";
import { Dyed, undyedOf } from "./Strip.tsx";
import {
  correctionsOf,
  isAfter,
  isOwn,
  otherYarnInShort,
  otherYarnWarning,
  panName,
  powderInShort,
  powderWarning,
  sayAddition,
  sayAmount,
  sayHeating,
  sayMinutes,
  sayTime,
  sayWhere,
} from "./say.ts";
import { Take } from "./Take.tsx";
import { timerOf, Waits } from "./Waits.tsx";

type FollowProps = {
  view: PublicView;
  recipe: FollowRecipe;
  choices: Choices;
  choose: (choices: Choices) => void;
  changes: readonly Change[];
  /** Since when nothing was heard, ms on this device's clock; `null` while connected. */
  behindSince: number | null;
  serverNow: () => number;
  /** Whether it is read as a recipe from first to last, as on paper, and not as what goes on. */
  asRecipe: boolean;
  /** When it was saved to a file, ms; `null` on a page that follows the bench. */
  savedAt: number | null;
};

/** The session as a recipe for one viewer. */
export function Follow(props: FollowProps) {
  const { view, recipe, choices, choose, changes, behindSince, serverNow } = props;
  const { asRecipe, savedAt } = props;
  const { toolId, kitchen } = choices;
  const means = useMemo(() => meansOf({ toolId, kitchen }), [toolId, kitchen]);
  const now = asRecipe ? null : recipe.now;
  const timer = now?.kind === "heat" && now.running ? timerOf(view, now.how, now.pan) : undefined;
  const hand = (
    <>
      {now && (
        <Now
          view={view}
          recipe={recipe}
          step={now}
          kicker={sayKicker(view, recipe)}
          means={means}
          timer={timer === undefined ? undefined : view.timers[timer]}
          serverNow={serverNow}
        />
      )}
      {!now && !asRecipe && <Nothing view={view} recipe={recipe} />}
      {savedAt === null && <LiveCautions hazards={view.hazards} />}
      {!asRecipe && <Waits view={view} serverNow={serverNow} besides={timer} />}
      {!asRecipe && <Changes changes={changes} />}
    </>
  );
  const holdBackSeconds = view.session.holdBackSeconds ?? 0;
  return (
    <>
      <Shapes />
      <header class="top">
        <h1 dir="auto">{view.session.name}</h1>
        <p class="standing">
          {asRecipe ? saySaved(view, recipe) : sayStanding(view, recipe)}
          {savedAt === null && holdBackSeconds > 0 && (
            <small>
              This page waits {holdBackSeconds}&#x202f;s, so as not to run ahead of the stream.
            </small>
          )}
        </p>
      </header>
      <Behind since={behindSince} />
      <Mine view={view} recipe={recipe} choices={choices} choose={choose} />
      <noscript>
        These are the session's own amounts. To work out your own, this page needs JavaScript.
      </noscript>
      {(choices.otherYarn || choices.powder) && (
        <section class="otherwise" aria-label="What is otherwise than in the session">
          {choices.otherYarn && (
            <p class="warning whole-width">{asRecipe ? otherYarnWarning : otherYarnInShort}</p>
          )}
          {choices.powder && (
            <div class="warning whole-width">
              <p>{asRecipe ? powderWarning : powderInShort}</p>
              <CautionLine hazard="dryPowder" />
            </div>
          )}
        </section>
      )}
      <main class={asRecipe ? "as-recipe" : undefined}>
        <div class="hand">
          {hand}
          <Notes view={view} timed={savedAt === null} />
          {asRecipe && <Needs view={view} recipe={recipe} means={means} />}
        </div>
        <div class="sheet">
          <Sheet view={view} recipe={recipe} means={means} asRecipe={asRecipe} />
          {!asRecipe && <Needs view={view} recipe={recipe} means={means} />}
          <Safety hazards={recipe.hazards} />
        </div>
        <div class="beside">
          <Colours view={view} recipe={recipe} otherYarn={choices.otherYarn} />
          <Take view={view} recipe={recipe} choices={choices} savable={savedAt === null} />
        </div>
      </main>
      <Announcement say={now ? sayNow(view, now) : sayStanding(view, recipe)} />
    </>
  );
}

type SheetProps = {
  view: PublicView;
  recipe: FollowRecipe;
  means: Means;
  asRecipe: boolean;
};

/** What is done and what is to come: live the next first and the last done first, else in order. */
function Sheet({ view, recipe, means, asRecipe }: SheetProps) {
  const { now } = recipe;
  const all = asRecipe && now !== null ? [now, ...recipe.coming] : recipe.coming;
  const coming = all.filter(isOwn);
  const own = recipe.done.filter(isOwn);
  const done = own.filter((line) => !isAfter(view, line));
  const after = own.filter((line) => isAfter(view, line));
  const others = all.length - coming.length + recipe.done.length - own.length;
  const lines = new Set(recipe.done.map(({ key }) => key));
  const elsewhere = correctionsOf(view, (act) => !lines.has(act));
  const toCome = coming.length > 0 && (
    <section class="coming" aria-labelledby="coming">
      <h2 id="coming">{sayComing(view, asRecipe && done.length > 0)}</h2>
      <Coming view={view} means={means} steps={coming} />
    </section>
  );
  const wasDone = done.length > 0 && (
    <section aria-labelledby="done">
      <h2 id="done">{asRecipe ? "The recipe, as it was poured" : "Done, the last first"}</h2>
      <Done view={view} means={means} lines={asRecipe ? done : [...done].reverse()} />
    </section>
  );
  const doneAfter = after.length > 0 && (
    <section aria-labelledby="after">
      <h2 id="after">After the stream</h2>
      <Done view={view} means={means} lines={asRecipe ? after : [...after].reverse()} />
    </section>
  );
  return (
    <>
      {asRecipe ? [wasDone, doneAfter, toCome] : [toCome, doneAfter, wasDone]}
      {elsewhere.length > 0 && (
        <section aria-labelledby="corrected">
          <h2 id="corrected">Corrected after the stream</h2>
          <Corrections corrections={elsewhere} />
        </section>
      )}
      {others > 0 && (
        <p class="others aside">
          {others === 1 ? "1 step" : `${others} steps`} of the session {others === 1 ? "is" : "are"}{" "}
          for other colourways, and left out here.
        </p>
      )}
      {all.length + recipe.done.length === 0 && (
        <p class="others">There are no pours in this session.</p>
      )}
    </>
  );
}

function sayComing(view: PublicView, after: boolean): string {
  if (view.session.phase === "ready") return "The plan";
  return after ? "Planned, and not poured yet" : "Coming";
}

function saySaved(view: PublicView, { pours }: FollowRecipe): string {
  if (view.session.phase === "ready") return "The plan, before it was poured.";
  const made = pours.made === 1 ? "1 pour" : `${pours.made} pours`;
  return view.session.phase === "closed"
    ? `The whole recipe, ${made}.`
    : `As far as it was poured: ${made} of ${pours.all}.`;
}

function sayStanding(view: PublicView, { now, pours }: FollowRecipe): string {
  switch (view.session.phase) {
    case "ready":
      return "Not live yet. This is the plan.";
    case "closed":
      return `Closed. ${pours.made === 0 ? "Nothing was poured." : `All ${pours.made} pours are here.`}`;
    case "live":
      if (now?.kind === "pour") return `Live: pour ${now.nth} of ${pours.all} now`;
      if (now === null) return `Live: ${pours.made} pours made, nothing more is planned`;
      return `Live: ${pours.made} of ${pours.all} pours made`;
  }
}

function sayKicker(view: PublicView, { now, pours }: FollowRecipe): string {
  const when = view.session.phase === "ready" ? "first" : "now";
  if (now?.kind === "pour") return `Pour ${now.nth} of ${pours.all}, ${when}`;
  if (now?.kind === "add") return `Into the bath, ${when}`;
  return now?.running === true ? "Waiting, now" : "Next";
}

function sayNow(view: PublicView, step: FollowStep): string {
  if (step.kind === "heat") {
    return `Now: ${sayHeating(view, step.how, step.pan)}, ${sayMinutes(step.seconds)}.`;
  }
  if (step.kind === "add") {
    return `Now: ${sayAddition(step.ownAmount)} ${step.label} into pan ${panName(view, step.pan)}.`;
  }
  const { own, pour } = step;
  if (!own.mine) return "Now: a pour for other colourways.";
  const amounts = own.parts.map(({ of, amount, title }) => `${sayAmount(of, amount)} ${title}`);
  return `Now: ${own.about ? "about " : ""}${amounts.join(" and ")} into ${sayWhere(view, pour)}.`;
}

/** How long an amount has to stand before it is read aloud: the dyer may still be stepping it. */
const settleMs = 1_500;

function Announcement({ say }: { say: string }) {
  const [said, setSaid] = useState("");
  const first = useRef(true);
  useEffect(() => {
    if (first.current) {
      // What stands there when the page opens is read with the page.
      first.current = false;
      return;
    }
    const settling = setTimeout(() => setSaid(say), settleMs);
    return () => clearTimeout(settling);
  }, [say]);
  return (
    <p class="unseen" aria-live="polite">
      {said}
    </p>
  );
}

function Behind({ since }: { since: number | null }) {
  return (
    <div role="status">
      {since !== null && (
        <p class="behind">
          <b>Behind since {sayTime(since)}.</b> The connection is gone. What you see was true then,
          and the page catches up by itself.
        </p>
      )}
    </div>
  );
}

function Nothing({ view, recipe }: { view: PublicView; recipe: FollowRecipe }) {
  if (view.session.phase === "closed") {
    return (
      <section class="now none">
        <h2>{recipe.pours.made === 0 ? "Nothing was poured" : "All poured"}</h2>
        <p>
          {recipe.pours.made === 0
            ? "This session was closed before anything went in."
            : "Every pour here is for your own yarn and stocks, the last first."}
        </p>
      </section>
    );
  }
  return (
    <section class="now none">
      <h2>Nothing is planned next</h2>
      <p>What goes in shows here as soon as it is poured.</p>
    </section>
  );
}

function Changes({ changes }: { changes: readonly Change[] }) {
  return (
    <section class="changes" aria-label="Changed while you look on" aria-live="polite">
      {changes.length > 0 && (
        <>
          <h2>Changed while you look on</h2>
          <ul>
            {changes.map(({ key, say }) => (
              <li key={key}>{say}</li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}

/** @param timed false in a file, which says the same in every zone that it is made and read in */
function Notes({ view, timed }: { view: PublicView; timed: boolean }) {
  const notes = Object.entries(view.notes).sort(([, a], [, b]) => b.at - a.at);
  if (notes.length === 0) return null;
  return (
    <section class="notes" aria-labelledby="notes">
      <h2 id="notes">From the bench</h2>
      <ul>
        {notes.map(([act, { at, text }]) => (
          <li key={act}>
            <p dir="auto">{text}</p>
            {timed && <p class="aside figures">{sayTime(at)}</p>}
          </li>
        ))}
      </ul>
    </section>
  );
}

type NeedsProps = { view: PublicView; recipe: FollowRecipe; means: Means };

/** How much of each bottle it takes for the viewer, and the pans with their water. */
function Needs({ view, recipe, means }: NeedsProps) {
  const { needs, water } = recipe;
  if (needs.length === 0) return null;
  return (
    <section class="needs" aria-labelledby="needs">
      <h2 id="needs">What it takes in all</h2>
      <ul>
        {needs.map((need) => (
          <li key={need.key} data-need={need.key}>
            <NeedStrip view={view} need={need} />
            <span dir="auto">{need.title}</span>
            <span class="figure figures">
              <b class="all">{sayAmount(need.of, need.poured + need.coming)}</b>
              {means.also && (
                <small class="also">{means.also(need.of, need.poured + need.coming)}</small>
              )}
              {sayParts(need)}
            </span>
          </li>
        ))}
        {water
          .filter(({ volumeUl }) => volumeUl > 0)
          .map(({ pan, volumeUl, capacityUl }) => (
            <li key={`pan ${pan}`}>
              <AdditionMark what="water" size={24} />
              <span>
                Water to start pan {panName(view, pan)}
                <small class="figures">a pan of {showVolume(capacityUl)} or more</small>
              </span>
              <span class="figure figures">
                <b class="all">{showVolume(volumeUl)}</b>
                {means.also && <small class="also">{means.also("volume", volumeUl)}</small>}
              </span>
            </li>
          ))}
      </ul>
    </section>
  );
}

function NeedStrip({ view, need }: { view: PublicView; need: Need }) {
  return (
    <Dyed
      dyedHex={need.hex}
      undyedHex={undyedOf(view, undefined)}
      width={24}
      height={40}
      seed={need.key}
      powder={need.of === "mass"}
    />
  );
}

function sayParts({ of, poured, coming }: Need) {
  if (poured === 0 || coming === 0) return null;
  return <small>{sayAmount(of, coming)} still to come</small>;
}
