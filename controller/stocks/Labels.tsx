import { useState } from "preact/hooks";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { showStrength } from "../../shared/dye/display.ts";
import { strengthPct } from "../../shared/dye/strength.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { Shelf, ShelfStock } from "../../shared/shelf/shelf.ts";
import { Select } from "../form/Select.tsx";
import { type PaperSize, Printed, paperSizes } from "../paper/Printed.tsx";
import { stockHex } from "./bottle.ts";

const grids = [
  { value: "2x7", label: "2 across, 7 down", columns: 2, rows: 7 },
  { value: "3x8", label: "3 across, 8 down", columns: 3, rows: 8 },
] as const;

/** Labels for bottles: what it is, how strong, from when, and to be kept away. */
export function Labels({ shelf, onDone }: { shelf: Shelf; onDone: () => void }) {
  const bottles = shelf.stocks.filter(({ retired, volumeUl }) => !retired && volumeUl > 0);
  const [chosen, setChosen] = useState<ReadonlySet<Id>>(new Set(bottles.map(({ id }) => id)));
  const [paper, setPaper] = useState<PaperSize>("A4");
  const [gridName, setGridName] = useState<(typeof grids)[number]["value"]>("2x7");
  const grid = grids.find(({ value }) => value === gridName) ?? grids[0];
  const printed = bottles.filter(({ id }) => chosen.has(id));
  const each = grid.columns * grid.rows;
  const sheets = Array.from({ length: Math.ceil(printed.length / each) }, (_, at) =>
    printed.slice(at * each, (at + 1) * each),
  );
  return (
    <div class="labels">
      <div class="labels-choice">
        <div class="prepare-ways">
          <Select label="Paper" options={paperSizes} value={paper} onValue={setPaper} />
          <Select
            label="Labels on a sheet"
            options={grids}
            value={gridName}
            onValue={setGridName}
          />
          <button
            type="button"
            class="green-button"
            disabled={printed.length === 0}
            onClick={() => window.print()}
          >
            Print
          </button>
          <button type="button" class="quiet-button" onClick={onDone}>
            Back to the bottles
          </button>
        </div>
        <div class="editor-chips">
          {bottles.map(({ id, name }) => (
            <button
              key={id}
              type="button"
              class="chip"
              aria-pressed={chosen.has(id)}
              onClick={() => {
                const next = new Set(chosen);
                if (!next.delete(id)) next.add(id);
                setChosen(next);
              }}
            >
              <bdi>{name}</bdi>
            </button>
          ))}
        </div>
      </div>
      <Printed paper={paper}>
        {sheets.map((sheet) => (
          <div
            key={sheet[0]?.id}
            class="labels-sheet"
            data-paper={paper}
            data-grid={gridName}
            style={{ "--columns": String(grid.columns), "--rows": String(grid.rows) }}
          >
            {sheet.map((stock) => (
              <Label key={stock.id} shelf={shelf} stock={stock} />
            ))}
          </div>
        ))}
      </Printed>
    </div>
  );
}

function Label({ shelf, stock }: { shelf: Shelf; stock: ShelfStock }) {
  const dyes = Object.entries(stock.dyes).map(
    ([dye, ug]) =>
      `${shelf.dyes.find(({ id }) => id === dye)?.name ?? dye} ${showStrength(strengthPct(ug, stock.volumeUl))}`,
  );
  return (
    <article class="label">
      <DippedStrip
        dyedHex={stockHex(shelf, stock)}
        undyedHex="#f3ecdf"
        width={30}
        height={72}
        seed={stock.id}
      />
      <div class="label-words">
        <p class="label-name">
          <bdi>{stock.name}</bdi>
        </p>
        <p class="label-strength figures">
          {showStrength(strengthPct(totalUg(stock.dyes), stock.volumeUl))}
          {stock.madeOn !== undefined && <span>{` made ${stock.madeOn}`}</span>}
        </p>
        {dyes.length > 1 && <p class="label-dyes figures">{dyes.join(", ")}</p>}
        <p class="label-what">Dye stock solution, g in 100 mL of water. Not food or drink.</p>
        <p class="label-away">
          Keep away from children and pets. Follow the dye's safety data sheet.
        </p>
      </div>
    </article>
  );
}
