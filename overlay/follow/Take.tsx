import { useState } from "preact/hooks";
import type { FollowRecipe } from "../../shared/session/views/followRecipe.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";
import { copyText } from "./copy.ts";
import type { Choices } from "./kept.ts";
import { saveFile } from "./save.ts";
import { recipeText } from "./text.ts";

type TakeProps = {
  view: PublicView;
  recipe: FollowRecipe;
  choices: Choices;
  /** Whether the page comes from a bench that makes the file; a saved file is one already. */
  savable: boolean;
};

/** The recipe to take along: as text, on paper, or as one file that needs no bench. */
export function Take({ view, recipe, choices, savable }: TakeProps) {
  const [said, setSaid] = useState("");
  const [text, setText] = useState<string | null>(null);
  const copy = async () => {
    const all = recipeText(view, recipe, choices);
    const copied = await copyText(all);
    setText(copied ? null : all);
    setSaid(
      copied
        ? "Copied: the whole recipe, for your own yarn and stocks."
        : "This browser does not copy by itself. Here is the text, to select and copy.",
    );
  };
  const save = async () => {
    setSaid("Fetching the file from the bench.");
    setSaid(
      (await saveFile(view.session.name, choices))
        ? "Saved as one file. It opens without the bench and keeps what you have set here."
        : "The bench does not answer, and the file comes from there. Try again once it does.",
    );
  };
  return (
    <section class="take" aria-labelledby="take">
      <h2 id="take">Take it along</h2>
      <div class="ways">
        <button type="button" class="quiet" onClick={copy}>
          Copy as text
        </button>
        <button type="button" class="quiet" onClick={() => window.print()}>
          Print
        </button>
        {savable && (
          <button type="button" class="quiet" onClick={save}>
            Save as one file
          </button>
        )}
        {savable && view.recap && (
          <a class="quiet" href="/recap">
            See the recap
          </a>
        )}
      </div>
      <p role="status">{said}</p>
      {text !== null && <textarea readOnly rows={8} aria-label="The recipe as text" value={text} />}
    </section>
  );
}
