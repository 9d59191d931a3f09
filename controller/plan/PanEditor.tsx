import { showDepth, showMass, showVolume } from "../../shared/dye/display.ts";
import { sayClass } from "../../shared/dye/dyeClass.ts";
import { acidPcts, RATIOS } from "../../shared/plan/bath.ts";
import type { PlanPan } from "../../shared/plan/plan.ts";
import type { Method } from "../../shared/session/setup.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Select } from "../form/Select.tsx";
import { Tick } from "../form/Tick.tsx";
import { Words } from "../form/Words.tsx";
import { Editor } from "./Editor.tsx";
import type { Table } from "./table.ts";

const METHODS: readonly { value: Method; label: string }[] = [
  { value: "immersion", label: "Immersion" },
  { value: "lowWater", label: "Poured on, low water" },
  { value: "painted", label: "Painted and steamed" },
  { value: "dipped", label: "Dipped" },
];

/** A pan: what it holds, how it is run, and the bath that the plan makes in it. */
export function PanEditor({ table, pan }: { table: Table; pan: PlanPan }) {
  const { prospect, edit } = table;
  const put = (item: PlanPan) => edit({ edit: "put", part: "pans", item });
  const bath = prospect.baths.find((one) => one.pan.id === pan.id);
  const range = RATIOS[pan.method];
  return (
    <Editor
      table={table}
      part="pans"
      id={pan.id}
      title={
        <>
          Pan <bdi>{pan.name}</bdi>
        </>
      }
      twice="A second one"
    >
      <div class="editor-fields">
        <Words
          label="Name"
          value={pan.name}
          onValue={(name) => {
            if (name.trim() !== "") put({ ...pan, name });
          }}
        />
        <Quantity
          label="Holds, to the brim"
          field={{ kind: "volume", unit: "L", zero: true, max: 100_000_000 }}
          value={pan.capacityUl}
          onValue={(capacityUl) => {
            if (capacityUl !== null) put({ ...pan, capacityUl });
          }}
          show={showVolume}
        />
        <Select
          label="Method"
          options={METHODS}
          value={pan.method}
          onValue={(method) => put({ ...pan, method })}
          hint={`Usual ${range.least}:1 to ${range.most}:1 (common practice)`}
        />
        <Select
          label="Water at the start"
          options={[
            { value: "ratio", label: "by liquor ratio" },
            { value: "volume", label: "by volume" },
          ]}
          value={pan.water.by}
          onValue={(by) => {
            if (by === pan.water.by) return;
            const ratio = bath?.fibreUg ? (bath.waterUl / bath.fibreUg) * 1_000 : 30;
            put({
              ...pan,
              water:
                by === "ratio"
                  ? { by, ratio: Math.max(1, Math.round(ratio)) }
                  : { by: "volume", volumeUl: bath?.waterUl ?? 1_000_000 },
            });
          }}
        />
        {pan.water.by === "ratio" ? (
          <Quantity
            label="Liquor ratio, mL a gram"
            field={{ kind: "ratio", max: 1_000 }}
            value={pan.water.ratio}
            onValue={(ratio) => {
              if (ratio !== null) put({ ...pan, water: { by: "ratio", ratio } });
            }}
            show={(ratio) => `${Math.round(ratio * 10) / 10}:1`}
            hint={bath ? `That is ${showVolume(bath.waterUl)}` : undefined}
          />
        ) : (
          <Quantity
            label="Water"
            field={{ kind: "volume", unit: "L", zero: true, max: 100_000_000 }}
            value={pan.water.volumeUl}
            onValue={(volumeUl) => {
              if (volumeUl !== null) put({ ...pan, water: { by: "volume", volumeUl } });
            }}
            show={showVolume}
          />
        )}
        <Quantity
          label="Weight of the empty pan"
          field={{ kind: "mass", zero: true, unit: "kg", max: 100_000_000_000 }}
          value={pan.panUg}
          onValue={(panUg) => {
            if (panUg !== null) put({ ...pan, panUg });
          }}
          show={showMass}
          hint="It is heated as well"
        />
        <Select
          label="Made of"
          options={[
            { value: "stainless", label: "stainless steel" },
            { value: "aluminium", label: "aluminium" },
            { value: "enamelled", label: "enamelled steel" },
          ]}
          value={pan.metal}
          onValue={(metal) => put({ ...pan, metal })}
        />
        <Tick label="With a lid" value={pan.lid} onValue={(lid) => put({ ...pan, lid })} />
      </div>
      {bath && (
        <dl class="editor-terms figures">
          <Fact what="Dry fibre" is={showMass(bath.fibreUg)} />
          <Fact what="Liquor at the fullest" is={showVolume(bath.peakUl)} />
          {bath.ratio !== null && (
            <Fact what="Liquor ratio" is={`${Math.round(bath.ratio * 10) / 10}:1`} />
          )}
          <Fact what="Dye offered" is={showDepth(bath.depthPct)} />
          {Object.entries(acidPcts(bath)).map(([acid, pct]) => (
            <Fact
              key={acid}
              what={`${acid === "acetic" ? "Acetic" : "Citric"} acid`}
              is={`${Math.round(pct * 100) / 100}\u202f% of fibre`}
            />
          ))}
          {bath.titratableMol > 0 && (
            <Fact
              what="Acid by titration"
              is={`${Math.round(bath.titratableMol * 1_000)}\u202fmmol`}
            />
          )}
          {bath.ph !== null && (
            <Fact what="pH before the yarn, estimated" is={bath.ph.toFixed(1)} />
          )}
          {bath.saltUg > 0 && <Fact what="Salt" is={showMass(bath.saltUg)} />}
          {bath.classes.length > 0 && (
            <Fact what="Dyes" is={bath.classes.map(sayClass).join(", ")} />
          )}
        </dl>
      )}
    </Editor>
  );
}

function Fact({ what, is }: { what: string; is: string }) {
  return (
    <div>
      <dt>{what}</dt>
      <dd>{is}</dd>
    </div>
  );
}
