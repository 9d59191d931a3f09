import "./amount.css";
import { GraduatedRule } from "../../shared/draw/GraduatedRule.tsx";
import { TimeRule } from "../../shared/draw/TimeRule.tsx";
import type { StepAmount } from "../../shared/session/act.ts";
import type { BenchTimer } from "../../shared/session/bench.ts";
import type { Step } from "../../shared/session/setup.ts";
import { type State, stepAmount } from "../../shared/session/state.ts";
import { liquorHex } from "../../shared/session/views/publicView.ts";
import { useLink } from "../link/context.tsx";
import { figureOf, nextHow, nudges, plannedAmount, sayHow } from "./adjust.ts";
import { Fit } from "./Fit.tsx";
import { clockText } from "./time.ts";
import { useNow } from "./useNow.ts";

const largest = 168;
/** Widths of the face's tabular figures and of a letter beside them, em. */
const figureEm = 0.61;
const letterEm = 0.52;

/** What an {@link Amount} is told. */
export interface AmountProps {
  state: State;
  step: Extract<Step, { kind: "pour" | "add" }>;
  onAmount: (amount: StepAmount) => void;
  onType: () => void;
}

/** How much goes in: the largest thing on screen, on its graduated rule, with what changes it. */
export function Amount({ state, step, onAmount, onType }: AmountProps) {
  const planned = plannedAmount(step);
  const now = stepAmount(state, step);
  if (planned === null || now === null) return null;
  const how = sayHow(now);
  const next = nextHow(planned, now);
  return (
    <div class="live-amount">
      <FigureButton amount={now} onType={onType} />
      <Fit class="live-rule">
        {(width, height) => (
          <Rule state={state} step={step} amount={now} width={width} height={height} />
        )}
      </Fit>
      <div class="live-nudges">
        {nudges(planned, now).map(({ label, say, amount }) => (
          <button
            key={say}
            type="button"
            class="live-nudge figures"
            aria-label={say}
            disabled={amount === null}
            onClick={() => amount && onAmount(amount)}
          >
            {label}
          </button>
        ))}
        {next && (
          <button type="button" class="live-nudge live-how figures" onClick={() => onAmount(next)}>
            {how.word} <small>{how.more}</small>
            <span class="unseen">. Change how sure it is.</span>
          </button>
        )}
      </div>
    </div>
  );
}

function FigureButton({ amount, onType }: { amount: StepAmount; onType: () => void }) {
  const { figure, unit, before, after } = figureOf(amount);
  return (
    <button type="button" class="live-figure" onClick={onType}>
      <BigFigure figure={figure} unit={unit} how={[before, after].filter(Boolean).join(" ")} />
      <span class="unseen">. Type another amount.</span>
    </button>
  );
}

function BigFigure({ figure, unit, how }: { figure: string; unit: string; how: string }) {
  return (
    <Fit class="live-figure-fit">
      {(width, height) => {
        const size = sizeFor(figure, unit, width, height);
        return (
          <>
            <span class="figures-first" style={{ fontSize: `${size}px` }}>
              {figure}
            </span>{" "}
            <span class="live-unit figures">
              <span style={{ fontSize: `${Math.round(size * 0.4)}px` }}>{unit}</span>{" "}
              <span class="live-figure-how">{how}</span>
            </span>
          </>
        );
      }}
    </Fit>
  );
}

/** Letters as large as the box takes. */
function sizeFor(figure: string, unit: string, width: number, height: number): number {
  const narrow = (figure.match(/[.,:]/g) ?? []).length;
  const wide = (figure.length - narrow) * figureEm + narrow * 0.28;
  const em = wide + 0.14 + unit.length * letterEm * 0.4;
  return Math.floor(Math.min(largest, width / em, height / 0.8));
}

function Rule(props: {
  state: State;
  step: Extract<Step, { kind: "pour" | "add" }>;
  amount: StepAmount;
  width: number;
  height: number;
}) {
  const { state, step, amount, width, height } = props;
  const size = { width, height, tone: "wool" as const, labels: true, labelSize: 15 };
  if (amount.of === "volume" && step.kind === "pour") {
    const { source } = step.pour;
    const made =
      source.from === "vessel" ? (state.bench.vessels[source.vessel]?.vessel.madeUg ?? {}) : {};
    const { volumeUl, plusMinusUl } = amount.amount;
    return (
      <GraduatedRule
        {...size}
        volumeUl={volumeUl}
        plusMinusUl={plusMinusUl}
        fillHex={liquorHex(state, made)}
      />
    );
  }
  if (amount.of === "addition" && "volumeUl" in amount.amount) {
    return <GraduatedRule {...size} volumeUl={amount.amount.volumeUl} fillHex="#d7e2e1" />;
  }
  // What is weighed stands on no cylinder.
  return <p class="live-weigh">weighed on a scale</p>;
}

/** What a {@link Wait} is told. */
export interface WaitProps {
  step: Extract<Step, { kind: "heat" }>;
  /** The timer of this step while it runs. */
  timer: BenchTimer | null;
  onExtend: (timer: BenchTimer, seconds: number) => void;
}

/** How long it heats or rests: the whole time before it starts, then what is left of it. */
export function Wait({ step, timer, onExtend }: WaitProps) {
  const now = useNow(useLink());
  const totalS = timer?.seconds ?? step.seconds;
  const leftS = timer ? totalS - (now - timer.startedAt) / 1000 : totalS;
  const figure = timer
    ? clockText(Math.abs(Math.ceil(leftS)), true)
    : String(Math.round(totalS / 6) / 10);
  const unit = timer ? (leftS < 0 ? "over" : "left") : "min";
  return (
    <div class="live-amount">
      <div class="live-figure">
        <BigFigure figure={figure} unit={unit} how="" />
      </div>
      <Fit class="live-rule">
        {(width, height) => (
          <TimeRule
            leftS={leftS}
            totalS={totalS}
            width={width}
            height={height}
            tone="wool"
            labels
          />
        )}
      </Fit>
      <div class="live-nudges">
        {timer &&
          [1, 5, 10].map((minutes) => (
            <button
              key={minutes}
              type="button"
              class="live-nudge figures"
              onClick={() => onExtend(timer, minutes * 60)}
            >
              +{minutes} <small>min</small>
              <span class="unseen"> more</span>
            </button>
          ))}
      </div>
    </div>
  );
}
