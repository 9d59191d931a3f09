import { useMemo, useState } from "preact/hooks";
import { showCount, showVolume } from "../../shared/dye/display.ts";
import { left } from "../../shared/dye/vessel.ts";
import type { State } from "../../shared/session/state.ts";
import { Liquid } from "../bench/Liquid.tsx";
import { VesselTitle } from "../bench/VesselTitle.tsx";
import { filesOf } from "../files/line.ts";
import { OpenedSince } from "./OpenedSince.tsx";

/** What a {@link NextSession} is told. */
export interface NextSessionProps {
  state: State;
  token: string;
  onPrepare: () => void;
}

/** The next plan from this session, with what is left in every bottle and jug. */
export function NextSession({ state, token, onPrepare }: NextSessionProps) {
  const files = useMemo(() => filesOf(token), [token]);
  const [busy, setBusy] = useState(false);
  const [begun, setBegun] = useState<{ name: string; bottles: number } | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const vessels = Object.values(state.bench.vessels);
  const begin = async () => {
    if (busy) return;
    setBusy(true);
    setTrouble(null);
    const answer = await files.next(state.session);
    setBusy(false);
    if (answer.ok) setBegun(answer.value);
    else setTrouble(answer.problems[0]?.say ?? null);
  };
  return (
    <section class="after-plain" aria-labelledby="next-title">
      <h2 id="next-title">Next session</h2>
      <p class="lead">
        The next plan begins as this one was. Bottles come onto the shelf as they stand now; a jug
        that holds something comes along, an empty one is washed.
      </p>
      <OpenedSince state={state} token={token} />
      <ul class="after-levels">
        {vessels.map(({ id, as, vessel }) => {
          const { volumeUl } = left(vessel);
          return (
            <li key={id} data-empty={volumeUl === 0}>
              <Liquid state={state} dyes={vessel.madeUg} width={24} height={52} seed={id} />
              <VesselTitle state={state} id={id} />
              <strong class="figures">
                {volumeUl > 0 ? showVolume(volumeUl) : as === "jug" ? "washed" : "empty"}
              </strong>
            </li>
          );
        })}
      </ul>
      {begun === null ? (
        <button type="button" class="green-button" aria-disabled={busy} onClick={begin}>
          Start the next one from this
        </button>
      ) : (
        <button type="button" class="green-button" onClick={onPrepare}>
          Go to the plans
        </button>
      )}
      <p class="said" role="status">
        {begun && (
          <>
            <bdi>{begun.name}</bdi> is begun, with {showCount(begun.bottles, "bottle")} on the
            shelf.
          </>
        )}
      </p>
      <p class="said" role="alert">
        {trouble}
      </p>
    </section>
  );
}
