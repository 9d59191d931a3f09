import type { Phrase } from "../../shared/session/views/overlayScene.ts";
import { Fit, type FitStep } from "./Fit.tsx";

type WordsProps = { phrase: Phrase; steps: readonly FitStep[]; class?: string };

/** A name among words: the name gives way when there is no room, what stands around it never. */
export function Words({ phrase, steps, class: name = "" }: WordsProps) {
  const { before, name: own, after } = phrase;
  return (
    <Fit class={name} steps={steps} text={`${before}${own}${after}`}>
      {before}
      <bdi>{own}</bdi>
      <span class="after">{after}</span>
    </Fit>
  );
}
