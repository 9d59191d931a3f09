import { useRef, useState } from "preact/hooks";
import { calibrate } from "../../shared/colour/swatch.ts";
import { showDepth } from "../../shared/dye/display.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { dyeOnBench } from "../../shared/shelf/onBench.ts";
import { type Shelf, type ShelfDye, shelved } from "../../shared/shelf/shelf.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Select } from "../form/Select.tsx";
import { Tick } from "../form/Tick.tsx";
import { Words } from "../form/Words.tsx";
import { usePreparation } from "../prepare/context.tsx";
import { today } from "../prepare/today.ts";
import { goToUnread } from "../shelf/draft.ts";
import { ColourEditor } from "./ColourEditor.tsx";
import { type SwatchDraft, swatchOf } from "./form.ts";
import { swatchesOf } from "./known.ts";

/** What a {@link SwatchEditor} is told. */
export interface SwatchEditorProps {
  shelf: Shelf;
  dye: ShelfDye;
  begun: SwatchDraft;
  onDone: () => void;
}

/** A swatch as it is being told; it is kept once it is whole, and what it will do is said before. */
export function SwatchEditor({ shelf, dye, begun, onDone }: SwatchEditorProps) {
  const { change } = usePreparation();
  const [draft, setDraft] = useState(begun);
  const [asked, setAsked] = useState(false);
  const fields = useRef<HTMLElement>(null);
  const put = (next: Partial<SwatchDraft>) => setDraft({ ...draft, ...next });
  const bases = shelf.bases.filter(({ id, retired }) => !retired || id === draft.base);
  const base = bases.find(({ id }) => id === draft.base);
  const swatch = swatchOf(draft, dye.id, bases);
  const remarks = refused(swatch) ? [] : remarksWith(shelf, dye, swatch);
  const keep = () => {
    setAsked(true);
    if (goToUnread(fields.current) || refused(swatch)) return;
    const what = `the swatch of ${dye.name} at ${showDepth(swatch.depthPct)}`;
    const there = shelf.swatches.some(({ id }) => id === swatch.id);
    const because = `${there ? "changed" : "added"} ${what}`;
    void change({ change: "shelve", part: "swatches", item: swatch, because });
    onDone();
  };
  return (
    <section ref={fields} class="swatch-editor" aria-label="Swatch in hand">
      <div class="editor-fields">
        <Select
          label="Dyed on"
          options={bases.map(({ id, name }) => ({ value: id as string, label: name }))}
          value={draft.base ?? ""}
          onValue={(id) => put({ base: id })}
        />
        <Quantity
          label="Depth of shade"
          field={{ kind: "percent", zero: true, max: 100 }}
          value={draft.depthPct}
          onValue={(depthPct) => put({ depthPct })}
          show={showDepth}
          hint="Dye by weight of dry fibre, such as 1 %"
          optional
        />
        <Words
          label="Dyed on the day"
          value={draft.madeOn}
          onValue={(madeOn) => put({ madeOn })}
          hint={`Such as ${today()}, or nothing`}
        />
        <Words label="Note" value={draft.note} onValue={(note) => put({ note })} />
      </div>
      <ColourEditor
        label="The colour it gave, dry and rinsed"
        draft={draft.colour}
        undyedHex={base?.hex ?? "#f3ecdf"}
        onDraft={(colour) => put({ colour })}
      />
      <Tick label="It is still wet" value={draft.wet} onValue={(wet) => put({ wet })} />
      <div role="alert">
        {refused(swatch) && (asked || draft.wet) && <p class="shelf-warning">{swatch.say}</p>}
        {remarks.map((say) => (
          <p key={say} class="shelf-warning">
            {say}
          </p>
        ))}
      </div>
      <div class="prepare-ways">
        <button type="button" class="green-button" onClick={keep}>
          Keep the swatch
        </button>
        <button type="button" class="quiet-button" onClick={onDone}>
          Leave it
        </button>
        {shelf.swatches.some(({ id }) => id === draft.id) && (
          <button
            type="button"
            class="quiet-button"
            onClick={() => {
              void change({ change: "remove", part: "swatches", id: draft.id });
              onDone();
            }}
          >
            Take it away
          </button>
        )}
      </div>
    </section>
  );
}

/** What would have to be known about a swatch beside the dye's others. */
function remarksWith(shelf: Shelf, dye: ShelfDye, swatch: Shelf["swatches"][number]): string[] {
  const after = shelved(shelf, "swatches", swatch);
  const answer = calibrate(dyeOnBench(after, { ...dye }).swatches ?? []);
  if (refused(answer)) return [];
  const at = swatchesOf(after, dye.id).findIndex(({ id }) => id === swatch.id);
  return answer.remarks.filter((remark) => remark.swatch === at).map(({ say }) => say);
}
