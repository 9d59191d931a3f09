import type { Main } from "../../shared/session/views/overlayScene.ts";
import { Fit } from "./Fit.tsx";
import { Strip } from "./Strip.tsx";
import { lineSteps, smallSteps, twoLineTitleSteps } from "./sizes.ts";

/** Before and after: the session's name, its yarn, and its dyes hung up side by side. */
export function OpeningPanel(main: Extract<Main, { kind: "waiting" | "closed" }>) {
  const { kicker, title, lines, strips, moreStrips } = main;
  return (
    <section class="panel opening">
      <div />
      <div class="column words">
        <p class="kicker">{kicker}</p>
        <Fit class="title words-title" steps={twoLineTitleSteps} text={title}>
          <bdi>{title}</bdi>
        </Fit>
        {lines.map((line) => (
          <Fit key={line} steps={lineSteps} text={line}>
            <bdi>{line}</bdi>
          </Fit>
        ))}
      </div>
      <div class="palette">
        {strips.map(({ name, strip }) => (
          <div class="swatch" key={strip.seed}>
            <Strip look={strip} width={84} height={206} />
            <Fit class="swatch-name" steps={smallSteps} text={name}>
              <bdi>{name}</bdi>
            </Fit>
          </div>
        ))}
        {moreStrips > 0 && <p class="swatch-more">{`and ${moreStrips} more`}</p>}
      </div>
    </section>
  );
}
