import "./shelf.css";
import { useState } from "preact/hooks";
import type { Id } from "../../shared/session/setup.ts";
import type { TablePart } from "../../shared/shelf/exchange.ts";
import { usePreparation } from "../prepare/context.tsx";
import { BaseEditor } from "./BaseEditor.tsx";
import { DyeEditor } from "./DyeEditor.tsx";
import { freshBase, freshDye, freshTool } from "./fresh.ts";
import { BaseLine, DyeLine, ToolLine } from "./lines.tsx";
import { Tables } from "./Tables.tsx";
import { ToolEditor } from "./ToolEditor.tsx";

type Part = Exclude<TablePart, "stocks">;

const PARTS: readonly { part: Part; label: string; one: string; empty: string }[] = [
  {
    part: "dyes",
    label: "Dyes",
    one: "Add a dye",
    empty:
      "No dyes yet. A dye is a jar on the shelf: its name, its class, what it is to be careful with, and the colour that it gave at one depth. Stocks are made of it.",
  },
  {
    part: "bases",
    label: "Yarns",
    one: "Add a yarn",
    empty:
      "No yarns yet. A yarn is what it is spun of, whether it is superwash, and the colour that it has before it is dyed. Skeins are made of it.",
  },
  {
    part: "tools",
    label: "Measuring tools",
    one: "Add a tool",
    empty:
      "No tools yet. With a scale, a syringe or a cylinder on the shelf, every amount can be told as you are able to measure it.",
  },
];

/** The shelf: dyes, yarns and the tools to measure with. */
export function Shelf() {
  const { prepared, change } = usePreparation();
  const [part, setPart] = useState<Part>("dyes");
  const [chosen, setChosen] = useState<Id | null>(null);
  const [find, setFind] = useState("");
  const [gone, setGone] = useState(false);
  if (prepared === null) return null;
  const { shelf } = prepared;
  const { label, one, empty } = PARTS.find((entry) => entry.part === part) ?? PARTS[0] ?? never();
  const all: readonly { id: Id; name: string; retired: boolean }[] = shelf[part];
  const word = find.trim().toLowerCase();
  const shown = all.filter(
    ({ name, retired }) => (gone || !retired) && (word === "" || name.toLowerCase().includes(word)),
  );
  const away = all.filter(({ retired }) => retired).length;
  const add = () => {
    const fresh =
      part === "dyes"
        ? { part, item: freshDye(shelf) }
        : part === "bases"
          ? { part, item: freshBase(shelf) }
          : { part, item: freshTool() };
    void change({ change: "shelve", ...fresh });
    setChosen(fresh.item.id);
  };
  const dye = part === "dyes" ? shelf.dyes.find(({ id }) => id === chosen) : undefined;
  const base = part === "bases" ? shelf.bases.find(({ id }) => id === chosen) : undefined;
  const tool = part === "tools" ? shelf.tools.find(({ id }) => id === chosen) : undefined;
  const done = () => setChosen(null);
  return (
    <div class="shelf">
      <div class="shelf-list">
        <div class="shelf-parts">
          {PARTS.map((entry) => (
            <button
              key={entry.part}
              type="button"
              class="chip"
              aria-pressed={part === entry.part}
              onClick={() => {
                setPart(entry.part);
                setChosen(null);
                setFind("");
              }}
            >
              {entry.label}
            </button>
          ))}
          <button type="button" class="green-button" onClick={add}>
            {one}
          </button>
        </div>
        {all.length > 12 && (
          <input
            class="blank-box"
            type="search"
            aria-label={`Find among ${label.toLowerCase()}`}
            placeholder="Find"
            value={find}
            onInput={(event) => setFind(event.currentTarget.value)}
          />
        )}
        {all.length === 0 && <p class="shelf-lead">{empty}</p>}
        {all.length > 0 && shown.length === 0 && (
          <p class="shelf-lead">
            {word === "" ? "All of these are out of use." : "Nothing of that name."}
          </p>
        )}
        <ul class="shelf-items">
          {shown.map(({ id, retired }) => (
            <li key={id}>
              <button
                type="button"
                class="shelf-item"
                aria-pressed={id === chosen}
                data-retired={retired}
                onClick={() => setChosen(id)}
              >
                {part === "dyes" && <DyeLine dye={shelf.dyes.find((it) => it.id === id)} />}
                {part === "bases" && <BaseLine base={shelf.bases.find((it) => it.id === id)} />}
                {part === "tools" && (
                  <ToolLine shelf={shelf} tool={shelf.tools.find((it) => it.id === id)} />
                )}
              </button>
            </li>
          ))}
        </ul>
        {away > 0 && (
          <button type="button" class="quiet-button" onClick={() => setGone(!gone)}>
            {gone ? "Hide what is out of use" : `Show ${away} out of use`}
          </button>
        )}
      </div>
      <aside class="shelf-side" aria-label="What is in hand">
        {dye && <DyeEditor key={dye.id} dye={dye} onDone={done} />}
        {base && <BaseEditor key={base.id} base={base} onDone={done} />}
        {tool && <ToolEditor key={tool.id} shelf={shelf} tool={tool} onDone={done} />}
        <Tables part={part} shelf={shelf} />
      </aside>
    </div>
  );
}

function never(): never {
  throw new Error("The shelf has parts.");
}
