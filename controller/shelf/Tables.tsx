import { useState } from "preact/hooks";
import { showCount } from "../../shared/dye/display.ts";
import {
  exportTable,
  type Imported,
  importTable,
  type TablePart,
} from "../../shared/shelf/exchange.ts";
import type { Shelf } from "../../shared/shelf/shelf.ts";
import { usePreparation } from "../prepare/context.tsx";

const names: Readonly<Record<TablePart, string>> = {
  dyes: "dyes",
  bases: "yarns",
  tools: "tools",
  stocks: "stocks",
};

/** A table is at most so large, bytes; a million short lines are less. */
const largest = 60_000_000;

/** A part of the shelf as a table for a spreadsheet, and back. */
export function Tables({ part, shelf }: { part: TablePart; shelf: Shelf }) {
  const { change } = usePreparation();
  const [read, setRead] = useState<{ name: string; result: Imported } | null>(null);
  const [seenPart, setPart] = useState<TablePart>(part);
  if (seenPart !== part) {
    setPart(part);
    setRead(null);
  }
  const open = async (file: File | undefined) => {
    if (!file) return;
    if (file.size > largest) {
      const say = "This file is larger than any shelf. Choose the table of the shelf.";
      setRead({ name: file.name, result: { ok: false, problems: [{ line: 1, say }] } });
      return;
    }
    const bytes = new Uint8Array(await file.arrayBuffer());
    setRead({ name: file.name, result: importTable(bytes, part, shelf) });
  };
  const save = () => {
    const text = exportTable(shelf, part);
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "text/csv" }));
    link.download = `pourside-${names[part]}.csv`;
    link.click();
    URL.revokeObjectURL(link.href);
  };
  return (
    <section class="tables">
      <h3>{`All ${names[part]} as a table`}</h3>
      <p class="shelf-note">
        Comma-separated, for a spreadsheet. A table that comes back changes what has the same short
        name and adds the rest; nothing is taken away.
      </p>
      <div class="prepare-ways">
        <button type="button" class="quiet-button" onClick={save}>
          Save the table
        </button>
        <label class="quiet-button tables-file">
          Open a table
          <input
            class="unseen"
            type="file"
            accept=".csv,text/csv,text/plain"
            onChange={(event) => {
              void open(event.currentTarget.files?.[0]);
              event.currentTarget.value = "";
            }}
          />
        </label>
      </div>
      {read !== null && (
        <div role="alert" class="tables-read">
          <p>
            <b>
              <bdi>{read.name}</bdi>
            </b>
          </p>
          {read.result.ok ? (
            <>
              <p>{`${showCount(read.result.added, "line")} added, ${read.result.changed} changed.`}</p>
              <div class="prepare-ways">
                <button
                  type="button"
                  class="green-button"
                  onClick={() => {
                    if (!read.result.ok) return;
                    void change({
                      change: "shelf",
                      shelf: read.result.shelf,
                      because: `took in a table of ${names[part]}`,
                    });
                    setRead(null);
                  }}
                >
                  Take it in
                </button>
                <button type="button" class="quiet-button" onClick={() => setRead(null)}>
                  Leave it
                </button>
              </div>
            </>
          ) : (
            <>
              <p>Nothing was changed. In the table:</p>
              <ul class="tables-problems">
                {read.result.problems.slice(0, 20).map(({ line, say }) => (
                  <li key={`${line} ${say}`}>{`Line ${line}: ${say}`}</li>
                ))}
              </ul>
            </>
          )}
        </div>
      )}
    </section>
  );
}
