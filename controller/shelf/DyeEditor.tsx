import { useState } from "preact/hooks";
import { CAUTIONS } from "../../shared/cautions/cautions.ts";
import { HAZARDS } from "../../shared/cautions/hazards.ts";
import { showDepth, showMass } from "../../shared/dye/display.ts";
import { DYE_CLASSES, sayClass } from "../../shared/dye/dyeClass.ts";
import type { Shelf, ShelfDye } from "../../shared/shelf/shelf.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Select } from "../form/Select.tsx";
import { Tick } from "../form/Tick.tsx";
import { Words } from "../form/Words.tsx";
import { Swatches } from "../swatch/Swatches.tsx";
import { ColourField } from "./ColourField.tsx";
import { useDraft, withWord } from "./draft.ts";
import { ItemEditor } from "./ItemEditor.tsx";

/** What a {@link DyeEditor} is told; a dye that is not `there` is only begun. */
export interface DyeEditorProps {
  shelf: Shelf;
  dye: ShelfDye;
  there: boolean;
  onDone: () => void;
}

const SIDES = [
  { side: "swatches", label: "Its colour" },
  { side: "facts", label: "What it is" },
] as const;

type Side = (typeof SIDES)[number]["side"];

/** A dye: what it is called, how it goes on, what to be careful with, and how it looks. */
export function DyeEditor({ shelf, dye: onShelf, there, onDone }: DyeEditorProps) {
  const draft = useDraft(onShelf);
  const [side, setSide] = useState<Side>(there ? "swatches" : "facts");
  const { value: dye, put, set } = draft;
  return (
    <ItemEditor
      item={{ part: "dyes", item: dye }}
      draft={{ changed: draft.changed, settle: () => draft.settle(dye) }}
      there={there}
      onDone={onDone}
      above={
        there && (
          <div class="shelf-parts">
            {SIDES.map((one) => (
              <button
                key={one.side}
                type="button"
                class="chip"
                aria-pressed={side === one.side}
                onClick={() => setSide(one.side)}
              >
                {one.label}
              </button>
            ))}
          </div>
        )
      }
      instead={there && side === "swatches" ? <Swatches shelf={shelf} dye={onShelf} /> : null}
    >
      <div class="editor-fields">
        <div class="shelf-wide">
          <Words label="Name" value={dye.name} onValue={(name) => put({ name })} />
        </div>
        <Words
          label="Maker's code"
          value={dye.code ?? ""}
          onValue={(code) => set(withWord(dye, "code", code))}
        />
        <Words
          label="Lot"
          value={dye.lot ?? ""}
          onValue={(lot) => set(withWord(dye, "lot", lot))}
        />
        <Select
          label="Class"
          options={DYE_CLASSES.map((value) => ({ value, label: sayClass(value) }))}
          value={dye.dyeClass}
          onValue={(dyeClass) => put({ dyeClass })}
        />
        <Quantity
          label="Powder on hand"
          field={{ kind: "mass", zero: true, max: 100_000_000_000 }}
          value={dye.onHandUg ?? null}
          onValue={(onHandUg) => set(withWord(dye, "onHandUg", onHandUg))}
          show={showMass}
          optional
          hint="Empty where nobody weighed it"
        />
        <Quantity
          label="Deepest sensible shade"
          field={{ kind: "percent", max: 100 }}
          value={dye.limitPct ?? null}
          onValue={(limitPct) => set(withWord(dye, "limitPct", limitPct))}
          show={showDepth}
          optional
          hint="Empty: the workroom's limit"
        />
      </div>
      <fieldset class="shelf-typed">
        <legend class="blank-label">Its colour by eye, until there is a swatch</legend>
        <div class="editor-fields">
          <ColourField label="Colour it gave" hex={dye.hex} onHex={(hex) => put({ hex })} />
          <Quantity
            label="At a depth of"
            field={{ kind: "percent", max: 100 }}
            value={dye.swatchDepthPct}
            onValue={(swatchDepthPct) => {
              if (swatchDepthPct !== null) put({ swatchDepthPct });
            }}
            show={showDepth}
          />
          <ColourField
            label="On yarn of the colour"
            hex={dye.swatchBaseHex}
            onHex={(swatchBaseHex) => put({ swatchBaseHex })}
          />
        </div>
      </fieldset>
      <fieldset>
        <legend class="blank-label">
          Its safety data sheet warns of, beyond what every dye has
        </legend>
        {HAZARDS.map((hazard) => (
          <Tick
            key={hazard}
            label={CAUTIONS[hazard].line}
            value={dye.hazards.includes(hazard)}
            onValue={(on) =>
              put({
                hazards: HAZARDS.filter((one) => (one === hazard ? on : dye.hazards.includes(one))),
              })
            }
          />
        ))}
      </fieldset>
    </ItemEditor>
  );
}
