import { useEffect, useRef, useState } from "preact/hooks";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { PowderedStrip } from "../../shared/draw/PowderedStrip.tsx";
import { showVolume } from "../../shared/dye/display.ts";
import type { FollowRecipe, FollowStep, Need } from "../../shared/session/views/followRecipe.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";
import { LiveCautions, Safety } from "./Cautions.tsx";
import type { Change } from "./changes.ts";
import type { Choices } from "./kept.ts";
import { Coming, Done } from "./Lines.tsx";
import { Mine } from "./Mine.tsx";
import { Now } from "./Now.tsx";
import { undyedOf } from "./Strip.tsx";
import {
  named,
  panName,
  sayAddition,
  sayAmount,
  sayHeating,
  sayMinutes,
  sayTime,
  sayWhere,
} from "./say.ts";
import { sayTool } from "./tools.ts";
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
};

/** The session as a recipe for one viewer. */
export function Follow(props: FollowProps) {
  const { view, recipe, choices, choose, changes, behindSince, serverNow } = props;
  const { now, coming, done } = recipe;
  const tool = choices.toolId === null ? null : (sayTool(choices.toolId) ?? null);
  const timer = now?.kind === "heat" && now.running ? timerOf(view, now.how, now.pan) : undefined;
  const upNext = view.session.phase === "ready";
  return (
    <>
      <header class="top">
        <h1 dir="auto">{view.session.name}</h1>
        <p class="standing">{sayStanding(view, recipe)}</p>
      </header>
      <Behind since={behindSince} />
      <Mine view={view} recipe={recipe} choices={choices} choose={choose} />
      <main>
        <div class="hand">
          {now && (
            <Now
              view={view}
              recipe={recipe}
              step={now}
              kicker={sayKicker(view, recipe)}
              tool={tool}
              timer={timer === undefined ? undefined : view.timers[timer]}
              serverNow={serverNow}
            />
          )}
          {!now && <Nothing view={view} recipe={recipe} />}
          <LiveCautions hazards={view.hazards} />
          <Waits view={view} serverNow={serverNow} besides={timer} />
          <Changes changes={changes} />
          <Notes view={view} />
        </div>
        <div class="sheet">
          {coming.length > 0 && (
            <section aria-labelledby="coming">
              <h2 id="coming">{upNext ? "The plan" : "Coming"}</h2>
              <Coming view={view} tool={tool} steps={coming} />
            </section>
          )}
          {done.length > 0 && (
            <section aria-labelledby="done">
              <h2 id="done">Done, the last first</h2>
              <Done view={view} tool={tool} lines={done} />
            </section>
          )}
          <Needs view={view} recipe={recipe} />
          <Safety hazards={recipe.hazards} />
        </div>
      </main>
      <Announcement say={now ? sayNow(view, now) : sayStanding(view, recipe)} />
    </>
  );
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

function Notes({ view }: { view: PublicView }) {
  const notes = Object.entries(view.notes).sort(([, a], [, b]) => b.at - a.at);
  if (notes.length === 0) return null;
  return (
    <section class="notes" aria-labelledby="notes">
      <h2 id="notes">From the bench</h2>
      <ul>
        {notes.map(([act, { at, text }]) => (
          <li key={act}>
            <p dir="auto">{text}</p>
            <p class="aside figures">{sayTime(at)}</p>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** How much of each bottle it takes for the viewer, and the water of the pans. */
function Needs({ view, recipe }: { view: PublicView; recipe: FollowRecipe }) {
  const { needs, water } = recipe;
  if (needs.length === 0) return null;
  return (
    <section class="needs" aria-labelledby="needs">
      <h2 id="needs">What it takes in all</h2>
      <ul>
        {needs.map((need) => (
          <li key={need.key}>
            <NeedStrip view={view} need={need} />
            <span dir="auto">{need.title}</span>
            <span class="figure figures">
              <b class="all">{sayAmount(need.of, need.poured + need.coming)}</b>
              {sayParts(need)}
            </span>
          </li>
        ))}
      </ul>
      {water.some(({ volumeUl }) => volumeUl > 0) && (
        <p class="figures">
          Water in the pans at the start:{" "}
          {water
            .map(
              ({ pan, volumeUl }) =>
                `${named(view.pans[pan]?.name ?? pan)}\u00a0${showVolume(volumeUl)}`,
            )
            .join(", ")}
        </p>
      )}
    </section>
  );
}

function NeedStrip({ view, need }: { view: PublicView; need: Need }) {
  const Drawing = need.of === "mass" ? PowderedStrip : DippedStrip;
  return (
    <Drawing
      dyedHex={need.hex}
      undyedHex={undyedOf(view, undefined)}
      width={24}
      height={40}
      seed={need.key}
    />
  );
}

function sayParts({ of, poured, coming }: Need) {
  if (poured === 0 || coming === 0) return null;
  return <small>{sayAmount(of, coming)} still to come</small>;
}
