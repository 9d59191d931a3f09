import { CAUTIONS } from "../../shared/cautions/cautions.ts";
import { HAZARDS } from "../../shared/cautions/hazards.ts";
import { showDepth, showMass } from "../../shared/dye/display.ts";
import { DYE_CLASSES, sayClass } from "../../shared/dye/dyeClass.ts";
import type { ShelfDye } from "../../shared/shelf/shelf.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Select } from "../form/Select.tsx";
import { Tick } from "../form/Tick.tsx";
import { Words } from "../form/Words.tsx";
import { usePreparation } from "../prepare/context.tsx";
import { ColourField } from "./ColourField.tsx";
import { ItemEditor } from "./ItemEditor.tsx";

/** A dye: what it is called, how it goes on, what to be careful with, and how it looks. */
export function DyeEditor({ dye, onDone }: { dye: ShelfDye; onDone: () => void }) {
  const { change } = usePreparation();
  const put = (item: ShelfDye) => void change({ change: "shelve", part: "dyes", item });
  const text = (key: "code" | "lot", value: string) => {
    const { [key]: _, ...rest } = dye;
    put(value.trim() === "" ? rest : { ...rest, [key]: value });
  };
  return (
    <ItemEditor part="dyes" item={dye} onDone={onDone}>
      <div class="editor-fields">
        <Words
          label="Name"
          value={dye.name}
          onValue={(name) => {
            if (name.trim() !== "") put({ ...dye, name });
          }}
        />
        <Words
          label="Maker's code"
          value={dye.code ?? ""}
          onValue={(value) => text("code", value)}
        />
        <Words label="Lot" value={dye.lot ?? ""} onValue={(value) => text("lot", value)} />
        <Select
          label="Class"
          options={DYE_CLASSES.map((value) => ({ value, label: sayClass(value) }))}
          value={dye.dyeClass}
          onValue={(dyeClass) => put({ ...dye, dyeClass })}
        />
        <Quantity
          label="Powder on hand"
          field={{ kind: "mass", zero: true, max: 100_000_000_000 }}
          value={dye.onHandUg ?? null}
          onValue={(onHandUg) => {
            const { onHandUg: _, ...rest } = dye;
            put(onHandUg === null ? rest : { ...rest, onHandUg });
          }}
          show={showMass}
          optional
          hint="Empty where nobody weighed it"
        />
        <Quantity
          label="Deepest sensible shade"
          field={{ kind: "percent", max: 100 }}
          value={dye.limitPct ?? null}
          onValue={(limitPct) => {
            const { limitPct: _, ...rest } = dye;
            put(limitPct === null ? rest : { ...rest, limitPct });
          }}
          show={showDepth}
          optional
          hint="Empty: the workroom's limit"
        />
        <ColourField label="Colour it gave" hex={dye.hex} onHex={(hex) => put({ ...dye, hex })} />
        <Quantity
          label="At a depth of"
          field={{ kind: "percent", max: 100 }}
          value={dye.swatchDepthPct}
          onValue={(swatchDepthPct) => {
            if (swatchDepthPct !== null) put({ ...dye, swatchDepthPct });
          }}
          show={showDepth}
        />
        <ColourField
          label="On yarn of the colour"
          hex={dye.swatchBaseHex}
          onHex={(swatchBaseHex) => put({ ...dye, swatchBaseHex })}
        />
      </div>
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
                ...dye,
                hazards: HAZARDS.filter((one) => (one === hazard ? on : dye.hazards.includes(one))),
              })
            }
          />
        ))}
      </fieldset>
    </ItemEditor>
  );
}
