import type { ComponentChildren } from "preact";
import { useContext } from "preact/hooks";
import type { Hazard } from "../../shared/cautions/hazards.ts";
import { AdditionMark } from "../../shared/draw/AdditionMark.tsx";
import { CautionMark } from "../../shared/draw/CautionMark.tsx";
import type { AdditionAmount, Heating } from "../../shared/session/setup.ts";
import type {
  FollowDone,
  FollowPour,
  FollowStep,
} from "../../shared/session/views/followRecipe.ts";
import type {
  PublicCorrection,
  PublicStep,
  PublicView,
} from "../../shared/session/views/publicView.ts";
import { CautionLine } from "./Cautions.tsx";
import { Corrections } from "./Corrections.tsx";
import { Measuring } from "./Measuring.tsx";
import type { Means } from "./means.ts";
import { To } from "./Shapes.tsx";
import { Still } from "./Still.ts";
import { Drawings, Strip } from "./Strip.tsx";
import {
  correctionsOf,
  depthGroups,
  panName,
  sayAddition,
  sayAmount,
  sayHeating,
  sayLabel,
  sayMinutes,
  sayTechnique,
  sayThere,
  sayWait,
  sayWhere,
  skeinName,
} from "./say.ts";

type Own = { view: PublicView; means: Means };

/** Steps to come, in order. */
export function Coming({ view, means, steps }: Own & { steps: readonly FollowStep[] }) {
  // Each caution stands with the next step that needs it, and moves on when that is done.
  const said = new Set<Hazard>();
  const fresh = (step: FollowStep): Hazard | undefined => {
    const hazard = hazardOf(step);
    if (hazard === undefined || said.has(hazard)) return undefined;
    said.add(hazard);
    return hazard;
  };
  return (
    <ol class="lines">
      {steps.map((step) => (
        <ComingLine key={step.id} view={view} means={means} step={step} hazard={fresh(step)} />
      ))}
    </ol>
  );
}

function hazardOf(step: FollowStep): Hazard | undefined {
  if (step.kind === "pour") return step.pour.source.from === "powder" ? "dryPowder" : undefined;
  if (step.kind === "add") return step.what === "acid" ? "acid" : undefined;
  return step.how === "rest" ? undefined : "steam";
}

type ComingLineProps = Own & { step: FollowStep; hazard: Hazard | undefined };

function ComingLine({ view, means, step, hazard }: ComingLineProps) {
  const caution = hazard && <CautionLine hazard={hazard} />;
  switch (step.kind) {
    case "pour": {
      const { pour, own, depths, nth } = step;
      return (
        <PourLine
          view={view}
          means={means}
          pour={pour}
          own={own}
          depths={depths}
          n={nth}
          hazard={hazard}
        />
      );
    }
    case "add":
      return (
        <Line
          mark={<AdditionMark what={step.what} size={28} />}
          title={sayLabel(step.label)}
          figure={sayAddition(step.ownAmount)}
          also={alsoOf(means, step.ownAmount)}
          there={otherwise(sayAddition(step.ownAmount), sayAddition(step.amount))}
        >
          into pan {panName(view, step.pan)}
          <InTool means={means} say={step.inTool} />
          {caution}
        </Line>
      );
    case "heat":
      return (
        <Line
          mark={<HeatMark how={step.how} />}
          title={sayHeating(view, step.how, step.pan)}
          figure={sayMinutes(step.seconds)}
        >
          {sayWait(step)}
          {caution}
        </Line>
      );
  }
}

/** What was done, in this order. */
export function Done({ view, means, lines }: Own & { lines: readonly FollowDone[] }) {
  return (
    <ol class="lines">
      {lines.map((line) => (
        <DoneLine key={line.key} view={view} means={means} line={line} />
      ))}
    </ol>
  );
}

function DoneLine({ view, means, line }: Own & { line: FollowDone }) {
  const corrections = correctionsOf(view, (act) => act === line.key);
  switch (line.kind) {
    case "pour": {
      const { pour, own, depths, n, corrected, planned } = line;
      const tags = [
        ...(corrected ? ["corrected"] : []),
        ...(planned ? [] : ["not planned"]),
        ...(pour.how === "unsettled" ? ["to be settled"] : []),
      ];
      return (
        <PourLine
          view={view}
          means={means}
          pour={pour}
          own={own}
          depths={depths}
          n={n}
          tags={tags.join(";")}
          corrections={corrections}
        />
      );
    }
    case "add":
      return (
        <Line
          mark={<AdditionMark what={line.what} size={28} />}
          title={sayLabel(line.label)}
          figure={sayAddition(line.ownAmount)}
          also={alsoOf(means, line.ownAmount)}
          there={otherwise(sayAddition(line.ownAmount), sayAddition(line.amount))}
        >
          into pan {panName(view, line.pan)}
          <InTool means={means} say={line.inTool} />
          <Corrections corrections={corrections} />
        </Line>
      );
    case "heat":
      return (
        <Line
          mark={<HeatMark how={line.how} />}
          title={sayHeating(view, line.how, line.pan)}
          figure={sayMinutes(line.seconds)}
        >
          {sayWait(line)} {line.ended === "early" && <span class="tag">ended early</span>}
        </Line>
      );
    case "skipped":
      return (
        <Line title={saySkipped(view, line.step)} struck figure="">
          <span class="tag">left out</span>
        </Line>
      );
  }
}

function saySkipped(view: PublicView, step: PublicStep): string {
  if (step.kind === "pour") return `${step.pour.title}, ${sayWhere(view, step.pour)}`;
  if (step.kind === "add") return `${sayLabel(step.label)}, pan ${panName(view, step.pan)}`;
  return sayHeating(view, step.how, step.pan);
}

function otherwise(own: string, there: string): string | undefined {
  return own === there ? undefined : there;
}

/** The hazard of the heat, or the pan that rests. */
function HeatMark({ how }: { how: Heating }) {
  const drawings = useContext(Drawings);
  if (how === "rest") {
    if (drawings === null) return null;
    const { Pan } = drawings;
    return <Pan name="" hanks={[]} bath={0.6} width={28} height={28} tone="wool" labelSize={0} />;
  }
  return <CautionMark hazard={how === "steam" ? "steam" : "hotBath"} size={28} />;
}

function alsoOf({ also }: Means, amount: AdditionAmount): string | undefined {
  if (also === null) return undefined;
  return "volumeUl" in amount ? also("volume", amount.volumeUl) : also("mass", amount.massUg);
}

function InTool({ means, say }: { means: Means; say: string | null }) {
  if (means.tool === null || say === null) return null;
  return (
    <p class="measuring">
      With {means.tool}: <b class="figures">{say}</b>
    </p>
  );
}

type LineProps = {
  also?: string | undefined;
  mark?: ComponentChildren;
  title: string;
  figure: string;
  there?: string | undefined;
  struck?: boolean;
  children: ComponentChildren;
};

function Line({ mark, title, figure, also, there, struck, children }: LineProps) {
  return (
    <li class={struck === true ? "line struck" : "line"}>
      <div class="strip" aria-hidden="true">
        {mark}
      </div>
      <div>
        {figure !== "" && (
          <p class="figure figures">
            <b>{figure}</b>
            {also !== undefined && <span class="also">{also}</span>}
            {there !== undefined && <span class="there">session: {there}</span>}
          </p>
        )}
        <h3 class="title" dir="auto">
          {title}
        </h3>
        <div class="more">{children}</div>
      </div>
    </li>
  );
}

type PourLineProps = Own &
  FollowPour & {
    n: number;
    hazard?: Hazard | undefined;
    tags?: string;
    corrections?: readonly PublicCorrection[];
  };

function PourLine(props: PourLineProps) {
  const { view, means, pour, own, depths, n, hazard, tags = "", corrections = [] } = props;
  const groups = depthGroups(depths);
  const figures = groups.map(({ skeins, before, after }) => `${skeins} ${before} ${after}`).join();
  const { dyes, vessels, bases } = view;
  const where = sayWhere(view, pour);
  return (
    <Still
      of={[pour, own, n, means, figures, where, hazard, tags, ...corrections, dyes, vessels, bases]}
    >
      {() => {
        const [only, ...more] = own.parts;
        const single = more.length === 0 ? only : undefined;
        const amounts = own.parts.map(({ of, amount }) => sayAmount(of, amount));
        const manner = sayTechnique(pour);
        return (
          <li class="line" data-pour={n}>
            <div class="strip">
              <Strip view={view} pour={pour} width={24} height={48} />
              <p class="n figures">{n}</p>
            </div>
            <div>
              <p class="figure figures">
                {own.parts.map((part, at) => (
                  <span key={part.key}>
                    {own.about && "about "}
                    <b>{amounts[at]}</b>
                    {part.plusMinus > 0 && ` ±\u202f${sayAmount(part.of, part.plusMinus)}`}
                    {single === undefined && <span class="of"> {part.title}</span>}
                    {means.also && <span class="also">{means.also(part.of, part.amount)}</span>}
                  </span>
                ))}
                {amounts.join() !== sayThere(pour).replace(/^about /, "") && (
                  <span class="there">session: {sayThere(pour)}</span>
                )}
              </p>
              <h3 class="title" dir="auto">
                {single?.title ?? pour.title}
              </h3>
              <div class="more">
                {where}
                {manner !== "into the bath" && `, ${manner}`}
                {!own.evenly && single !== undefined && (
                  <>
                    {" ("}
                    {single.shares
                      .map(
                        ({ skein, amount }) =>
                          `${skeinName(view, skein)}: ${sayAmount(single.of, amount)}`,
                      )
                      .join(", ")}
                    {")"}
                  </>
                )}
                {groups.map(({ skeins, before, after, local }) => (
                  <span key={skeins.join()} class="depth figures">
                    {groups.length > 1 &&
                      `${skeins.map((skein) => skeinName(view, skein)).join(", ")}: `}
                    {before} <To /> {after}
                    {pour.coverage < 1 && `, ${local} where it touches`}
                  </span>
                ))}
                {means.tool !== null &&
                  own.parts.map(
                    ({ key, measured }) =>
                      measured &&
                      // That powder wants a scale is said once by somebody who has nothing else.
                      (measured.ok || pour.source.from === "powder") && (
                        <Measuring key={key} measured={measured} tool={means.tool ?? ""} />
                      ),
                  )}
                {tags !== "" &&
                  tags.split(";").map((tag) => (
                    <span key={tag} class={tag === "corrected" ? "tag strong" : "tag"}>
                      {tag}
                    </span>
                  ))}
                {hazard && <CautionLine hazard={hazard} />}
                <Corrections corrections={corrections} />
              </div>
            </div>
          </li>
        );
      }}
    </Still>
  );
}
