import type { FleckReport } from "../../shared/colour/fleck.ts";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { showDifference } from "./say.ts";

const LOOKS = { shows: "will show", faint: "shows faintly", sinks: "will sink" } as const;

/** Which flecks of a base still show on a ground, and what would help. */
export function Flecks({ report }: { report: FleckReport }) {
  const { flecks, ground, change } = report;
  if (flecks.length === 0) return null;
  const areLost = flecks.some(({ look }) => look !== "shows");
  return (
    <div class="colour-flecks">
      <ul>
        {flecks.map((fleck, n) => (
          <li key={n} data-look={fleck.look}>
            <DippedStrip
              dyedHex={fleck.colour.hex}
              undyedHex={ground.hex}
              width={22}
              height={36}
              seed={fleck.name}
              undyedShare={0.5}
            />
            <span>
              <bdi>{fleck.name}</bdi> <b>{LOOKS[fleck.look]}</b>,{" "}
              <span class="figures">{showDifference(fleck.difference)} CIEDE2000</span> from the
              ground
            </span>
          </li>
        ))}
      </ul>
      {change && <p class="colour-warning">{change.say}</p>}
      {areLost && !change && (
        <p class="colour-warning">
          No paler or deeper ground of these dyes lets every fleck show: take another colour, or
          paint it so that part stays bare.
        </p>
      )}
    </div>
  );
}
