import type { PublicCorrection } from "../../shared/session/views/publicView.ts";
import { correctionParts } from "./say.ts";

type CorrectionsProps = { corrections: readonly PublicCorrection[] };

/** Corrections made after the stream: what was said before, what is true, and why. */
export function Corrections({ corrections }: CorrectionsProps) {
  return (
    <>
      {corrections.map((correction) => (
        <dl key={`${correction.at} ${correction.act}`} class="correction">
          {correctionParts(correction).map(({ what, said }) => (
            <div key={what}>
              <dt>{what}</dt>
              <dd dir="auto">{said}</dd>
            </div>
          ))}
        </dl>
      ))}
    </>
  );
}
