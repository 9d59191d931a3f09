import { render } from "preact-render-to-string";
import { followRecipe } from "../../shared/session/views/followRecipe.ts";
import { asInSession } from "../../shared/session/views/ownTerms.ts";
import type { PublicStep, PublicView } from "../../shared/session/views/publicView.ts";
import { howTo } from "./howTo.ts";
import { noChoices } from "./kept.ts";
import { Page } from "./Page.tsx";
import { choicesMark, fileNameOf, inScript } from "./save.ts";
import { recipeText } from "./text.ts";
import type { Written } from "./written.ts";

export { fileNameOf };

/**
 * What stands in the body of the page: the session's own amounts, drawn, and what the script takes
 * over from. The page's own script draws the same from the same.
 */
export function drawPage(written: Written): string {
  return `${inPlace(written, null)}<script type="application/json" id="held">${inScript(written)}</script>`;
}

/** Drawn in full up to this many letters; a longer recipe is written into its file as plain text. */
const mostDrawn = 120_000;

/**
 * A file that needs no bench, read from first to last: its body, what its script takes over from, as
 * JSON, and what it says to machines.
 */
export function drawFile(written: Written): { body: string; held: string; linkedData: string } {
  const { held, madeAt } = written;
  const view = held?.view;
  const slim = { held: held && { ...held, view: withoutRepeats(held.view) }, madeAt };
  const drawn = inPlace(slim, madeAt);
  const short = view === undefined || drawn.length <= mostDrawn;
  return {
    body: `${short ? drawn : inPlainText(view)}${choicesMark}`,
    held: inScript(slim),
    linkedData: view ? inScript(howTo(view, followRecipe(view, asInSession), madeAt)) : "{}",
  };
}

/**
 * What a done step would give each skein is told again by its pour, on which the recipe goes. The
 * session looked back on is not shown in a file.
 */
function withoutRepeats(view: PublicView): PublicView {
  const poured = new Map(Object.values(view.poured).map((pour) => [pour.step, pour]));
  const steps = Object.entries(view.steps).map(([id, step]): [string, PublicStep] => {
    if (step.kind !== "pour" || step.status !== "done") return [id, step];
    const skeins = Object.keys(poured.get(id)?.doses ?? {}).join();
    if (skeins !== Object.keys(step.pour.doses).join()) return [id, step];
    return [id, { ...step, pour: { ...step.pour, doses: {} } }];
  });
  const { recap: _, ...shown } = view;
  return { ...shown, steps: Object.fromEntries(steps) };
}

function inPlace({ held, madeAt }: Written, savedAt: number | null): string {
  const drawn = render(
    <Page first={held} listen={null} given={() => noChoices} savedAt={savedAt} madeAt={madeAt} />,
  );
  // The page's policy allows no style that stands on an element; what it says is in the sheet too.
  const plain = drawn.replace(/ style="font-variant-numeric: ?tabular-nums;?"/g, "");
  return `<div id="follow">${plain}</div>`;
}

/** The recipe in the words in which it is copied. */
function inPlainText(view: PublicView): string {
  const [name, ...lines] = recipeText(view, followRecipe(view, asInSession), noChoices).split("\n");
  return `<div id="follow" class="plain">${render(
    <main>
      <h1 dir="auto">{name}</h1>
      <pre>{lines.join("\n")}</pre>
    </main>,
  )}</div>`;
}
