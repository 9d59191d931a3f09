import { Pan } from "../../shared/draw/Pan.tsx";
import { showCelsius } from "../../shared/dye/display.ts";
import { skeinColour } from "../../shared/session/predicted.ts";
import { sayPredicted } from "../../shared/session/sayPredicted.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";
import { Fit } from "./Fit.tsx";
import { hanksIn } from "./hanks.ts";

const mostHanks = 12;
const widest = 520;

/** What a {@link PanInHand} is told. */
export interface PanInHandProps {
  state: State;
  pan: Id;
  /** Skeins that are poured on. */
  ringed: ReadonlySet<Id>;
}

/** The pan that is poured into or heated, with the skeins standing in it. */
export function PanInHand({ state, pan: id, ringed }: PanInHandProps) {
  const there = state.bench.pans[id];
  if (!there) return null;
  const hanks = hanksIn(state, id, ringed);
  // Where a pan holds more than can be drawn, those poured on come first.
  const shown =
    hanks.length > mostHanks
      ? [...hanks].sort((a, b) => Number(b.ringed) - Number(a.ringed)).slice(0, mostHanks)
      : hanks;
  const more = hanks.length - shown.length;
  const colours = Object.values(state.bench.skeins)
    .filter((skein) => skein.pan === id)
    .map(({ skein }) => skeinColour(state, skein.id));
  const facts = [
    there.celsius === null ? "" : showCelsius(there.celsius),
    there.look === null ? "" : `bath ${there.look}`,
    there.fate === null ? "" : `bath ${there.fate}`,
    hanks.length === 0 ? "no skein in it" : "",
    more > 0 ? `and ${more} more` : "",
    sayPredicted(colours),
  ].filter((fact) => fact !== "");
  return (
    <div class="live-pan">
      <Fit class="live-pan-fit">
        {(width, height) => (
          <Pan
            name={`Pan ${there.pan.name}`}
            hanks={shown}
            bath={Math.min(1, there.bathUl / there.pan.capacityUl)}
            width={Math.min(width, widest, Math.max(160, height * 1.5))}
            height={height}
            tone="wool"
            labelSize={hanks.length > 6 ? 15 : 18}
            nameSize={20}
          />
        )}
      </Fit>
      <p class="figures">{facts.join(", ")}</p>
    </div>
  );
}
