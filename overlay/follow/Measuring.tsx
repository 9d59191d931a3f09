import { showDepth } from "../../shared/dye/display.ts";
import type { Measured } from "../../shared/session/views/ownPour.ts";
import { sayDepthError } from "./say.ts";

type MeasuringProps = { measured: Measured; tool: string };

/** How the viewer's tool measures an amount, what that does to the depth, and what to do instead. */
export function Measuring({ measured, tool }: MeasuringProps) {
  if (!measured.ok) return <p class="measuring">{measured.say}</p>;
  const { say, errorPct, depthPct, tooCoarse, instead, insteadErrorPct } = measured;
  return (
    <div class="measuring">
      <p>
        With {tool}: <b class="figures">{say}</b>,{" "}
        <span class="whole figures">depth {sayDepthError(errorPct, depthPct)}</span>
      </p>
      {tooCoarse && (
        <p class="instead">
          <b>Too little to measure well.</b> {instead}
          {insteadErrorPct !== undefined && (
            <span class="figures"> The depth is then right to {showDepth(insteadErrorPct)}.</span>
          )}
        </p>
      )}
    </div>
  );
}
