import { useState } from "preact/hooks";
import { showCount } from "../../shared/dye/display.ts";
import {
  exportTable,
  type Imported,
  importTable,
  type TablePart,
} from "../../shared/shelf/exchange.ts";
import type { Shelf } from "../../shared/shelf/shelf.ts";
import { saveAs } from "../broadcast/save.ts";
import { Select } from "../form/Select.tsx";
import { usePreparation } from "../prepare/context.tsx";
import { comingLines } from "./coming.ts";

const names: Readonly<Record<TablePart, string>> = {
  dyes: "dyes",
  bases: "yarns",
  tools: "tools",
  stocks: "bottles",
  swatches: "swatches",
};

const PARTS = Object.keys(names) as TablePart[];

/** A table is at most so large, bytes; a million short lines are less. */
const LARGEST = 60_000_000;

/** Lines of what comes in, and of what is wrong, that are shown before they are counted. */
const SHOWN = 12;

type Read = { name: string; result: Imported };

/** A part of the shelf as a table for a spreadsheet, and back; first the one that is looked at. */
export function Tables({ usual, shelf }: { usual: TablePart; shelf: Shelf }) {
  const { change } = usePreparation();
  const [part, setPart] = useState<TablePart>(usual);
  const [read, setRead] = useState<Read | null>(null);
  const [over, setOver] = useState(false);
  const failed = (name: string, say: string) =>
    setRead({ name, result: { ok: false, problems: [{ line: 0, say }], wrong: 1, good: null } });
  const open = async (file: File | undefined) => {
    if (!file) return;
    if (file.size > LARGEST) {
      failed(file.name, "This file is larger than any shelf. Choose the table of the shelf.");
      return;
    }
    const bytes = await file.arrayBuffer().catch(() => null);
    if (bytes === null) {
      failed(file.name, "This file could not be read from where it lies. Choose it again.");
      return;
    }
    setRead({ name: file.name, result: importTable(new Uint8Array(bytes), part, shelf) });
  };
  const take = (coming: Shelf) => {
    void change({
      change: "shelf",
      shelf: coming,
      because: `took in a table of ${names[part]}`,
    });
    setRead(null);
  };
  return (
    <section
      class="tables"
      aria-labelledby="tables-title"
      data-over={over}
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={(event) => {
        event.preventDefault();
        setOver(false);
        void open(event.dataTransfer?.files[0]);
      }}
    >
      <h2 id="tables-title">As a table</h2>
      <p class="shelf-note">
        Comma-separated (CSV), for a spreadsheet. A table that comes back changes what has the same
        short name and adds the rest; nothing is taken away. Open it or drop it here.
      </p>
      <div class="tables-ways">
        <Select
          label="Of all"
          options={PARTS.map((value) => ({ value, label: names[value] }))}
          value={part}
          onValue={(next) => {
            setPart(next);
            setRead(null);
          }}
        />
        <button
          type="button"
          class="quiet-button"
          onClick={() =>
            saveAs(
              `pourside-${names[part]}.csv`,
              new Blob([exportTable(shelf, part)], { type: "text/csv;charset=utf-8" }),
            )
          }
        >
          Save the table
        </button>
        <label class="quiet-button shelf-file">
          Open a table
          <input
            class="unseen"
            type="file"
            accept=".csv,.tsv,.txt,text/csv,text/plain"
            onChange={(event) => {
              void open(event.currentTarget.files?.[0]);
              event.currentTarget.value = "";
            }}
          />
        </label>
      </div>
      <div role="status">
        {read !== null && (
          <Coming
            part={part}
            shelf={shelf}
            read={read}
            onTake={take}
            onLeave={() => setRead(null)}
          />
        )}
      </div>
    </section>
  );
}

/** What a table would bring, and what is wrong in it, before anything is changed. */
function Coming(props: {
  part: TablePart;
  shelf: Shelf;
  read: Read;
  onTake: (shelf: Shelf) => void;
  onLeave: () => void;
}) {
  const { part, shelf, read, onTake, onLeave } = props;
  const { name, result } = read;
  const problems = result.ok ? [] : result.problems;
  const coming = result.ok ? result : result.good;
  const lines = coming ? comingLines(part, shelf, coming.shelf) : [];
  const same = coming ? coming.added + coming.changed - lines.length : 0;
  return (
    <div class="tables-read">
      <p>
        <b>
          <bdi>{name}</bdi>
        </b>
        {result.ok
          ? ": every line can be read. Nothing is changed yet."
          : `: ${showCount(result.wrong, "line")} cannot be read. Nothing was changed.`}
      </p>
      {problems.length > 0 && (
        <ol class="tables-problems">
          {problems.slice(0, SHOWN).map(({ line, column, say }) => (
            <li key={`${line} ${column} ${say}`}>
              <strong class="figures">{line > 0 ? `Line ${line}` : ""}</strong>
              <span dir="auto">{column === undefined ? say : `${column}: ${say}`}</span>
            </li>
          ))}
          {!result.ok && problems.length > SHOWN && (
            <li>
              <strong />
              <span>{`And ${problems.length - SHOWN} more, to line ${problems.at(-1)?.line}.`}</span>
            </li>
          )}
        </ol>
      )}
      {coming && (
        <>
          {!result.ok && <p>The other lines hold:</p>}
          <ul class="tables-coming">
            {lines.slice(0, SHOWN).map((line) => (
              <li key={line.id}>
                <strong>{line.is === "new" ? "New" : "Changed"}</strong>
                <bdi>{line.name}</bdi>
              </li>
            ))}
            {lines.length > SHOWN && (
              <li>
                <strong />
                <span>{`And ${lines.length - SHOWN} more.`}</span>
              </li>
            )}
            {same > 0 && (
              <li>
                <strong>Same</strong>
                <span>{`${showCount(same, "line")} as on the shelf already.`}</span>
              </li>
            )}
          </ul>
        </>
      )}
      <div class="prepare-ways">
        {coming && lines.length > 0 && (
          <button
            type="button"
            class={result.ok ? "green-button" : "quiet-button"}
            onClick={() => onTake(coming.shelf)}
          >
            {result.ok
              ? `Take in ${showCount(lines.length, "line")}`
              : lines.length === 1
                ? "Take in only the good line"
                : `Take in only the ${lines.length} good lines`}
          </button>
        )}
        <button type="button" class="quiet-button" onClick={onLeave}>
          Leave it
        </button>
      </div>
    </div>
  );
}
