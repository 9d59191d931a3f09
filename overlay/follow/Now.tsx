import { useContext } from "preact/hooks";
import { AdditionMark } from "../../shared/draw/AdditionMark.tsx";
import { GraduatedRule } from "../../shared/draw/GraduatedRule.tsx";
import { massParts, type Parts, volumeParts } from "../../shared/dye/display.ts";
import type { AdditionAmount, Id } from "../../shared/session/setup.ts";
import type {
  FollowPour,
  FollowRecipe,
  FollowStep,
} from "../../shared/session/views/followRecipe.ts";
import type { OwnPart } from "../../shared/session/views/ownPour.ts";
import type { PublicTimer, PublicView } from "../../shared/session/views/publicView.ts";
import { Measuring } from "./Measuring.tsx";
import type { Means } from "./means.ts";
import { To } from "./Shapes.tsx";
import { Drawings, Strip, undyedOf } from "./Strip.tsx";
import {
  depthGroups,
  isOwn,
  listed,
  panName,
  sayAddition,
  sayAmount,
  sayHeating,
  sayLabel,
  sayMinutes,
  saySkeins,
  sayStep,
  sayTechnique,
  sayThere,
  sayWait,
  skeinName,
} from "./say.ts";
import { Left } from "./Waits.tsx";

type NowProps = {
  view: PublicView;
  recipe: FollowRecipe;
  step: FollowStep;
  /** "Pour 7 of 19, now". */
  kicker: string;
  means: Means;
  /** The timer that a heat step runs on, once it does. */
  timer: PublicTimer | undefined;
  serverNow: () => number;
};

/** What goes in now, the viewer's own amount as the largest thing on the page. */
export function Now({ view, recipe, step, kicker, means, timer, serverNow }: NowProps) {
  if (!isOwn(step)) return <NotMine view={view} step={step} kicker={kicker} />;
  switch (step.kind) {
    case "pour":
      return <PourNow view={view} recipe={recipe} kicker={kicker} means={means} {...step} />;
    case "add":
      return (
        <section class="now" aria-labelledby="now">
          <div class="hung">
            <AdditionMark what={step.what} size={56} />
          </div>
          <p class="kicker">{kicker}</p>
          <h2 id="now" dir="auto">
            {sayLabel(step.label)}
          </h2>
          <p class="where">into pan {panName(view, step.pan)}</p>
          <BigFigure {...additionParts(step.ownAmount)} />
          <There own={sayAddition(step.ownAmount)} there={sayAddition(step.amount)} />
          <Also means={means} {...amountOf(step.ownAmount)} />
          {means.tool !== null && step.inTool !== null && (
            <p class="measuring">
              With {means.tool}: <b class="figures">{step.inTool}</b>
            </p>
          )}
        </section>
      );
    case "heat":
      return (
        <section class="now" aria-labelledby="now">
          <p class="kicker">{kicker}</p>
          <h2 id="now">{sayHeating(view, step.how, step.pan)}</h2>
          {timer ? (
            <Left timer={timer} serverNow={serverNow} />
          ) : (
            <BigFigure {...minuteParts(step.seconds)} />
          )}
          <p class="where">{sayWait(step)}</p>
        </section>
      );
  }
}

type PourNowProps = FollowPour & Pick<NowProps, "view" | "recipe" | "kicker" | "means">;

function PourNow({ view, recipe, kicker, means, pour, own, depths }: PourNowProps) {
  const [only, ...more] = own.parts;
  const single = more.length === 0 ? only : undefined;
  const title = single?.title ?? pour.title;
  return (
    <section class="now" aria-labelledby="now">
      <div class="hung">
        <Strip view={view} pour={pour} width={56} height={112} />
      </div>
      <p class="kicker">{kicker}</p>
      <h2 id="now" dir="auto" class={title.length > 22 ? "wordy" : undefined}>
        {title}
      </h2>
      <p class="where">
        into pan {panName(view, pour.pan)}, {saySkeins(view, pour)}
      </p>
      {single ? (
        <Portion part={single} about={own.about} means={means} />
      ) : (
        <ul class="apart">
          {own.parts.map((part) => (
            <li key={part.key}>
              <h3 dir="auto">{part.title}</h3>
              <Portion part={part} about={own.about} means={means} />
            </li>
          ))}
        </ul>
      )}
      <There
        own={own.parts.map(({ of, amount }) => sayAmount(of, amount)).join()}
        there={sayThere(pour)}
        title={pour.title}
        ownTitle={single?.title}
      />
      {own.mix !== null && <p class="aside">{mixes[own.mix]}</p>}
      {means.tool !== null &&
        own.parts.map(
          ({ key, measured }) =>
            measured && <Measuring key={key} measured={measured} tool={means.tool ?? ""} />,
        )}
      <p class="manner">
        {sayTechnique(pour)}
        {depths.length > 1 && own.evenly && ", evenly by weight"}
      </p>
      {!own.evenly && <Shares view={view} parts={own.parts} />}
      {depths.length > 0 && <Depths view={view} depths={depths} coverage={pour.coverage} />}
      <PanOf view={view} recipe={recipe} pan={pour.pan} ringed={Object.keys(pour.doses)} />
    </section>
  );
}

const mixes = {
  same: "A mix. This is for a mix as strong as the session's, made in the same ratio.",
  own: "A mix, counted for your own bottle of it, made in the same ratio.",
  apart:
    "A mix in the session. Your stocks are of other strengths, so measure each dye by itself and pour them together.",
  powder: "A mix in the session. Weigh each dye by itself, and put them in together.",
} as const;

/** A step that is for the skeins of others: what it is in the session, and that nothing goes in. */
function NotMine({ view, step, kicker }: Pick<NowProps, "view" | "step" | "kicker">) {
  return (
    <section class="now" aria-labelledby="now">
      <p class="kicker">{kicker}</p>
      <h2 id="now">Nothing for your colourway</h2>
      <p class="where">
        In the session: {sayStep(view, step)}. Wait for the next one that is yours.
      </p>
    </section>
  );
}

function Also({ means, of, amount }: { means: Means; of: "volume" | "mass"; amount: number }) {
  const said = means.also?.(of, amount);
  return said ? <p class="also figures">{said}</p> : null;
}

function amountOf(amount: AdditionAmount): { of: "volume" | "mass"; amount: number } {
  return "volumeUl" in amount
    ? { of: "volume", amount: amount.volumeUl }
    : { of: "mass", amount: amount.massUg };
}

function Portion({ part, about, means }: { part: OwnPart; about: boolean; means: Means }) {
  const { of, amount, plusMinus } = part;
  const { figure, unit } = of === "volume" ? volumeParts(amount) : massParts(amount);
  return (
    <div class="portion">
      <BigFigure figure={figure} unit={unit} about={about} />
      <Also means={means} of={of} amount={amount} />
      {about && plusMinus > 0 && <p class="doubt figures">±&#x202f;{sayAmount(of, plusMinus)}</p>}
      {of === "volume" && amount > 0 && (
        <div class="rule">
          <GraduatedRule
            volumeUl={amount}
            plusMinusUl={plusMinus}
            fillHex={part.hex}
            width={330}
            height={58}
            tone="wool"
            labels
            labelSize={14}
          />
        </div>
      )}
    </div>
  );
}

function BigFigure({ figure, unit, about }: Parts & { about?: boolean }) {
  return (
    <p class="amount">
      {about === true && <span class="about">about </span>}
      <span class={figure.length > 5 ? "figures-first long" : "figures-first"}>{figure}</span>
      <span class="unit">&#x202f;{unit}</span>
    </p>
  );
}

function There(props: {
  own: string;
  there: string;
  title?: string;
  ownTitle?: string | undefined;
}) {
  const { own, there, title, ownTitle } = props;
  const sameBottle = ownTitle === title;
  if (own === there && sameBottle) return <p class="there">the same as in the session</p>;
  return (
    <p class="there figures">
      in the session: {there}
      {!sameBottle && (
        <>
          {" "}
          <span dir="auto">{title}</span>
        </>
      )}
    </p>
  );
}

function Shares({ view, parts }: { view: PublicView; parts: readonly OwnPart[] }) {
  return (
    <ul class="shares figures" aria-label="What each skein gets">
      {parts.flatMap(({ key, of, title, shares }) =>
        shares.map(({ skein, amount }) => (
          <li key={`${key} ${skein}`}>
            skein {skeinName(view, skein)}: <b>{sayAmount(of, amount)}</b>
            {parts.length > 1 && ` ${title}`}
          </li>
        )),
      )}
    </ul>
  );
}

type DepthsProps = Pick<FollowPour, "depths"> & { view: PublicView; coverage: number };

function Depths({ view, depths, coverage }: DepthsProps) {
  const groups = depthGroups(depths);
  return (
    <dl class="depths">
      <dt>Depth of shade{coverage < 1 && ", over the whole skein"}</dt>
      {groups.map(({ skeins, before, after, local }) => (
        <dd key={skeins.join()}>
          {groups.length > 1 && (
            <span class="whose">
              {skeins.length === 1 ? "skein" : "skeins"}{" "}
              {listed(skeins.map((skein) => skeinName(view, skein)))}
            </span>
          )}
          <span class="change figures">
            {before} <To /> <b>{after}</b>
          </span>
          {coverage < 1 && (
            <span class="local">
              this pour, where it touches: <b class="figures">{local}</b>
            </span>
          )}
        </dd>
      ))}
    </dl>
  );
}

const mostHanks = 8;

type PanOfProps = { view: PublicView; recipe: FollowRecipe; pan: Id; ringed: readonly Id[] };

function PanOf({ view, recipe, pan, ringed }: PanOfProps) {
  const drawings = useContext(Drawings);
  const there = view.pans[pan];
  if (!there) return null;
  const inside = Object.entries(view.skeins).filter(([, skein]) => skein.pan === pan);
  const shown = [
    ...inside.filter(([id]) => ringed.includes(id)),
    ...inside.filter(([id]) => !ringed.includes(id)),
  ]
    .slice(0, mostHanks)
    .sort(([, a], [, b]) => a.n - b.n);
  if (shown.length === 0) return null;
  if (drawings === null) {
    return (
      <div class="pan">
        <svg width="330" height="190" viewBox="0 0 330 190" aria-hidden="true" />
      </div>
    );
  }
  const { Pan } = drawings;
  return (
    <div class="pan">
      <Pan
        name={`Pan ${there.name}`}
        title={`Pan ${there.name} with ${listed(shown.map(([, skein]) => `skein ${skein.name} at ${skein.depthPct.toFixed(2)} %`))}`}
        bath={Math.min(1, there.bathUl / there.capacityUl)}
        hanks={shown.map(([id, skein]) => ({
          label: skein.name,
          seed: id,
          dyedHex: skein.colour.ground.hex,
          undyedHex: undyedOf(view, id),
          flecks: view.bases[skein.base]?.flecks.map((fleck) => fleck.hex),
          ringed: ringed.includes(id),
          fill: skein.depthPct / Math.max(recipe.finalPct[id] ?? 0, skein.depthPct, 1e-9),
        }))}
        width={330}
        height={190}
        tone="wool"
      />
    </div>
  );
}

function additionParts(amount: AdditionAmount): Parts {
  return "volumeUl" in amount ? volumeParts(amount.volumeUl) : massParts(amount.massUg);
}

function minuteParts(seconds: number): Parts {
  const [figure = "", unit = ""] = sayMinutes(seconds).split("\u202f");
  return { figure, unit };
}
