import { useState } from "preact/hooks";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { showDepth } from "../../shared/dye/display.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { Shelf, ShelfBase, ShelfDye } from "../../shared/shelf/shelf.ts";
import { Select } from "../form/Select.tsx";
import { ladderOf, sayDoubt, swatchesOf } from "./known.ts";

/** How a dye builds on a yarn, from pale to deep: strips on one line, the swatched ones pinned. */
export function Ladder({ shelf, dye }: { shelf: Shelf; dye: ShelfDye }) {
  const bases = shelf.bases.filter(({ retired }) => !retired);
  const [chosen, setChosen] = useState<Id | null>(null);
  const usual = swatchesOf(shelf, dye.id)[0]?.base;
  const typed: ShelfBase = {
    id: "",
    name: "The yarn it was seen on",
    fibres: [],
    superwash: false,
    hex: dye.swatchBaseHex,
    flecks: [],
    retired: false,
  };
  const base =
    bases.find(({ id }) => id === chosen) ??
    bases.find(({ id }) => id === usual) ??
    (usual === undefined ? typed : (bases[0] ?? typed));
  const rungs = ladderOf(shelf, dye, base);
  return (
    <div class="swatch-ladder">
      <div class="swatch-ladder-head">
        <p class="shelf-note">
          Predicted, dry and rinsed, if the yarn takes all the dye. A pin stands where a swatch was
          really dyed.
        </p>
        {bases.length > 0 && (
          <Select
            label="On yarn"
            options={[
              ...(usual === undefined ? [{ value: "", label: typed.name }] : []),
              ...bases.map(({ id, name }) => ({ value: id as string, label: name })),
            ]}
            value={base.id}
            onValue={(id) => setChosen(id)}
          />
        )}
      </div>
      <ol class="swatch-rungs">
        {rungs.map(({ depthPct, hex, swatched }) => (
          <li key={depthPct} data-swatched={swatched}>
            <DippedStrip
              dyedHex={hex}
              undyedHex={base.hex}
              width={40}
              height={92}
              seed={`${dye.id} ${depthPct}`}
              undyedShare={0.2}
            />
            <span class="figures">{showDepth(depthPct)}</span>
            <span class="unseen">{swatched ? "swatched" : "predicted"}</span>
          </li>
        ))}
      </ol>
      <ul class="swatch-doubts">
        {sayDoubt(shelf, dye, base).map((say) => (
          <li key={say} class="shelf-note">
            {say}
          </li>
        ))}
      </ul>
    </div>
  );
}
