import { useState } from "preact/hooks";
import { depthsPct } from "../../shared/dye/depth.ts";
import { showDepth, showMass } from "../../shared/dye/display.ts";
import type { PlanSkein } from "../../shared/plan/plan.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Select } from "../form/Select.tsx";
import { Words } from "../form/Words.tsx";
import { newId } from "../link/id.ts";
import { Editor } from "./Editor.tsx";
import type { Table } from "./table.ts";

/** A skein: its yarn and weight, where it lies, what it becomes, and the depth it is to reach. */
export function SkeinEditor({ table, skein }: { table: Table; skein: PlanSkein }) {
  const { plan, shelf, prospect, edit } = table;
  const put = (item: PlanSkein) => edit({ edit: "put", part: "skeins", item });
  const depths = prospect.depths.find((one) => one.skein.id === skein.id);
  const dyes = prospect.walked.skeins.get(skein.id)?.dyes ?? {};
  const [way, setWay] = useState<string | null>(null);
  const colourway = plan.colourways.find(({ id }) => id === skein.colourway);
  const parts = Object.entries(depthsPct(dyes, skein.massUg));
  const partial =
    depths?.dyeablePct != null && Math.abs(depths.dyeablePct - depths.depthPct) > 0.0005;
  return (
    <Editor
      table={table}
      part="skeins"
      id={skein.id}
      title={
        <>
          Skein <bdi>{skein.name}</bdi>
        </>
      }
      twice="A second one"
    >
      <div class="editor-fields">
        <Words
          label="Name"
          value={skein.name}
          onValue={(name) => {
            if (name.trim() !== "") put({ ...skein, name });
          }}
        />
        <Quantity
          label="Dry weight"
          field={{ kind: "mass", max: 100_000_000_000 }}
          value={skein.massUg}
          onValue={(massUg) => {
            if (massUg !== null) put({ ...skein, massUg });
          }}
          show={showMass}
        />
        <Select
          label="Yarn, undyed or dyed before"
          options={shelf.bases
            .filter(({ id, retired }) => !retired || id === skein.base)
            .map(({ id, name }) => ({ value: id, label: name }))}
          value={skein.base}
          onValue={(base) => put({ ...skein, base })}
        />
        <Select
          label="Lies in pan"
          options={[
            ...plan.pans.map(({ id, name }) => ({ value: id as string, label: name })),
            { value: "", label: "none yet" },
          ]}
          value={skein.pan ?? ""}
          onValue={(pan) => {
            const { pan: _, ...rest } = skein;
            put(pan === "" ? rest : { ...rest, pan });
          }}
        />
        <Select
          label="Becomes"
          options={[
            { value: "", label: "no colourway yet" },
            ...plan.colourways.map(({ id, name }) => ({ value: id as string, label: name })),
          ]}
          value={skein.colourway ?? ""}
          onValue={(to) => {
            const { colourway: _, ...rest } = skein;
            put(to === "" ? rest : { ...rest, colourway: to });
          }}
        />
        <Words
          label={colourway ? "Name of that colourway" : "Or a new colourway"}
          value={way ?? colourway?.name ?? ""}
          onValue={(name) => {
            setWay(name);
            if (colourway && name.trim() !== "") {
              edit({ edit: "put", part: "colourways", item: { ...colourway, name } });
            }
          }}
        />
        {!colourway && (way ?? "").trim() !== "" && (
          <button
            type="button"
            class="quiet-button"
            onClick={() => {
              const id = newId();
              edit({ edit: "put", part: "colourways", item: { id, name: (way ?? "").trim() } });
              put({ ...skein, colourway: id });
              setWay(null);
            }}
          >
            Make this colourway
          </button>
        )}
        {colourway && (
          <div class="prepare-ways">
            <button
              type="button"
              class="quiet-button"
              onClick={() =>
                edit({ edit: "duplicate", part: "colourways", id: colourway.id, as: newId() })
              }
            >
              The colourway once more
            </button>
            <button
              type="button"
              class="quiet-button"
              onClick={() => edit({ edit: "remove", part: "colourways", id: colourway.id })}
            >
              Drop the colourway
            </button>
          </div>
        )}
        <Quantity
          label="Depth it is to reach"
          field={{ kind: "percent", max: 100 }}
          value={skein.targetPct ?? null}
          onValue={(targetPct) => {
            const { targetPct: _, ...rest } = skein;
            put(targetPct === null ? rest : { ...rest, targetPct });
          }}
          show={showDepth}
          optional
          hint="Of dry fibre; may be left empty"
        />
      </div>
      <table class="editor-depths figures">
        <tbody>
          {parts.map(([dye, pct]) => (
            <tr key={dye}>
              <th scope="row">
                <bdi>{shelf.dyes.find(({ id }) => id === dye)?.name ?? dye}</bdi>
              </th>
              <td>{showDepth(pct)}</td>
            </tr>
          ))}
          <tr class="editor-sum">
            <th scope="row">Its pours add up to</th>
            <td>{showDepth(depths?.depthPct ?? 0)}</td>
          </tr>
          {partial && depths?.dyeablePct != null && (
            <tr>
              <th scope="row">Of the fibre that takes acid dye</th>
              <td>{showDepth(depths.dyeablePct)}</td>
            </tr>
          )}
          {depths && depths.localPct > depths.depthPct + 0.0005 && (
            <tr>
              <th scope="row">Deepest where one pour touches it</th>
              <td>{showDepth(depths.localPct)}</td>
            </tr>
          )}
        </tbody>
      </table>
    </Editor>
  );
}
