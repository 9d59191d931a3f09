import { Arrow } from "../../shared/draw/Arrow.tsx";
import { THIN_SPACE } from "../../shared/dye/display.ts";
import type { Main } from "../../shared/session/views/overlayScene.ts";
import { AmountColumn } from "./AmountColumn.tsx";
import { Fit, type FitStep } from "./Fit.tsx";
import { lineSteps, titleSteps } from "./sizes.ts";
import { Words } from "./Words.tsx";

const bathSteps: readonly FitStep[] = [
  [56, 1],
  [52, 1],
  [48, 1],
  [48, 2],
];

/** Acid, salt or water into a pan. */
export function AddPanel(add: Extract<Main, { kind: "add" }>) {
  const { bath } = add;
  const title = add.title.replace(/ %/g, `${THIN_SPACE}%`);
  return (
    <section class={bath ? "panel add" : "panel add without-depth"}>
      <div />
      <div class="column words">
        <p class="kicker">{add.kicker}</p>
        <Fit class="title words-title" steps={titleSteps} text={title}>
          <bdi>{title}</bdi>
        </Fit>
        <Words steps={lineSteps} phrase={add.where} />
      </div>
      <AmountColumn amount={add.amount} />
      {bath && (
        <div class="column">
          <p class="kicker">Bath in the pan</p>
          <div class="first">
            <Fit
              class="figures depth-figures"
              steps={bathSteps}
              text={`${bath.before} ${bath.after}`}
            >
              <span class="before">
                {bath.before} <Arrow size={40} />{" "}
              </span>
              <b class="whole">{bath.after}</b>
            </Fit>
          </div>
          <div class="foot" />
        </div>
      )}
    </section>
  );
}
