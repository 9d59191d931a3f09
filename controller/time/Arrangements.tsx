import { useMemo } from "preact/hooks";
import { showCount } from "../../shared/dye/display.ts";
import { type Arrangement, arrangementsOf } from "../../shared/plan/arrangement.ts";
import type { Pace } from "../../shared/plan/pace.ts";
import type { Plan } from "../../shared/plan/plan.ts";
import type { Shelf } from "../../shared/shelf/shelf.ts";
import { minutesText } from "../prepare/minutes.ts";

const names: Readonly<Record<Arrangement["name"], string>> = {
  asPlanned: "As planned",
  onePanEach: "One pan each",
  twoPans: "Two pans",
  threePans: "Three pans",
  allInOne: "All in one pan",
};

const running: Readonly<Record<Arrangement["running"], string>> = {
  none: "colours stay apart",
  some: "colours may run together",
  high: "colours run together",
};

/** What an {@link Arrangements} list is told. */
export interface ArrangementsProps {
  plan: Plan;
  shelf: Shelf;
  pace: Pace | undefined;
  onTake: (plan: Plan, because: string) => void;
}

/** The same skeins in more or fewer pans: how long, how many rings, and what may run together. */
export function Arrangements({ plan, shelf, pace, onTake }: ArrangementsProps) {
  const all = useMemo(() => arrangementsOf(plan, shelf, pace), [plan, shelf, pace]);
  if (all.length < 2) return null;
  const longest = Math.max(1, ...all.map((one) => one.schedule?.streamSeconds ?? 0));
  return (
    <section class="arrangements">
      <h2>The same skeins, otherwise</h2>
      <ul>
        {all.map((one) => {
          const seconds = one.schedule?.streamSeconds;
          return (
            <li key={one.name} class="arrangement" data-planned={one.name === "asPlanned"}>
              <b>{names[one.name]}</b>
              <span class="arrangement-time figures">
                {seconds === undefined ? "cannot be done here" : minutesText(seconds)}
              </span>
              <svg width="200" height="18" viewBox="0 0 200 18" aria-hidden="true">
                <path
                  d={`M1 9H${Math.max(2, ((seconds ?? 0) / longest) * 198)}`}
                  stroke="#1d2125"
                  stroke-width="9"
                />
                <path d="M1 1v16M50 5v12M100 1v16M150 5v12M199 1v16" stroke="#837b6e" />
              </svg>
              <span class="arrangement-words">
                {`${showCount(one.pans, "pan")}, ${showCount(one.rings, "ring")} at once, ${running[one.running]}`}
                {one.overflows.length > 0 && `; pan ${one.overflows.join(", ")} would overflow`}
              </span>
              {one.name !== "asPlanned" && (
                <button
                  type="button"
                  class="quiet-button"
                  disabled={one.schedule === null}
                  onClick={() =>
                    onTake(one.plan, `laid the skeins otherwise: ${names[one.name].toLowerCase()}`)
                  }
                >
                  <span>
                    Take this<span class="unseen">{`: ${names[one.name]}`}</span>
                  </span>
                </button>
              )}
            </li>
          );
        })}
      </ul>
      <p class="time-note">
        Skeins of one colourway stay together where they can; water, acid and salt given by volume
        or weight grow and shrink with the fibre. How colours run together is a rule of thumb: pours
        of different colours in one bath, with time before it is clear.
      </p>
    </section>
  );
}
