import { GraduatedRule } from "../../shared/draw/GraduatedRule.tsx";
import type { AmountLook } from "../../shared/session/views/overlayScene.ts";
import { Fit } from "./Fit.tsx";
import { figureSteps, smallSteps } from "./sizes.ts";

/** How much: the largest thing on screen, standing on its rule. */
export function AmountColumn({ amount }: { amount: AmountLook }) {
  const { label, about, figure, unit, rule } = amount;
  return (
    <div class="column">
      <Fit class={about ? "kicker strong" : "kicker"} steps={smallSteps} text={label}>
        <bdi>{label}</bdi>
      </Fit>
      <div class="first">
        <Fit class="figures-first" steps={figureSteps} text={`${figure} ${unit}`}>
          <span class="whole" data-volume>
            {figure}
            <span class="unit">{unit}</span>
          </span>
        </Fit>
      </div>
      <div class="foot" data-part="rule">
        {rule && (
          <GraduatedRule
            volumeUl={rule.volumeUl}
            plusMinusUl={rule.plusMinusUl}
            fillHex={rule.fillHex}
            width={432}
            height={62}
            tone="ink"
          />
        )}
      </div>
    </div>
  );
}
