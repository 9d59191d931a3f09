import { showMass, showStrength, showVolume } from "../../shared/dye/display.ts";
import { strengthPct } from "../../shared/dye/strength.ts";
import { type Liquor, totalUg } from "../../shared/dye/vessel.ts";
import type { State } from "../../shared/session/state.ts";
import { Liquid } from "./Liquid.tsx";

/** What {@link Strengths} shows. */
export interface StrengthsProps {
  state: State;
  name: string;
  liquor: Liquor | null;
  /** Said while there is nothing to show yet. */
  before: string;
}

/** What a mix comes to, before it is made: volume, strength in sum and per dye. */
export function Strengths({ state, name, liquor, before }: StrengthsProps) {
  if (liquor === null || liquor.volumeUl === 0) {
    return <p class="outcome outcome-before">{before}</p>;
  }
  const parts = Object.entries(liquor.dyes).filter(([, ug]) => ug > 0);
  const pct = (ug: number) => strengthPct(ug, liquor.volumeUl);
  return (
    <section class="outcome" aria-label="What it comes to">
      <Liquid state={state} dyes={liquor.dyes} width={40} height={84} seed={name} />
      <div class="outcome-words">
        <h3>
          <bdi>{name}</bdi>
        </h3>
        <p class="outcome-figure figures">
          {showVolume(liquor.volumeUl)} at {showStrength(pct(totalUg(liquor.dyes)))}
        </p>
        {parts.length === 0 && <p>Water only, no dye in it.</p>}
        <ul class="outcome-dyes">
          {parts.map(([id, ug]) => (
            <li key={id}>
              <bdi>{state.setup.dyes[id]?.name ?? id}</bdi>
              <span class="figures">{showStrength(pct(ug))}</span>
              <span class="figures outcome-mass">{showMass(ug)}</span>
            </li>
          ))}
        </ul>
      </div>
    </section>
  );
}
