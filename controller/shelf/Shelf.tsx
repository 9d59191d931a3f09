import "./shelf.css";
import { useState } from "preact/hooks";
import type { Id } from "../../shared/session/setup.ts";
import type { ShelfBase, ShelfDye, ShelfTool } from "../../shared/shelf/shelf.ts";
import { usePreparation } from "../prepare/context.tsx";
import { BaseEditor } from "./BaseEditor.tsx";
import { DyeEditor } from "./DyeEditor.tsx";
import { isFound } from "./find.ts";
import { freshBase, freshDye, freshTool } from "./fresh.ts";
import { BaseLine, DyeLine, ToolLine } from "./lines.tsx";
import { Tables } from "./Tables.tsx";
import { ToolEditor } from "./ToolEditor.tsx";

type Part = "dyes" | "bases" | "tools";

const PARTS: readonly { part: Part; label: string; one: string; tap: string; empty: string }[] = [
  {
    part: "dyes",
    label: "Dyes",
    one: "Add a dye",
    tap: "Tap a dye to see how its colour builds, to add swatches, or to change what is known of it.",
    empty:
      "No dyes yet. A dye is a jar on the shelf: its name, its class, what it is to be careful with, and the colour that it gave at one depth. Stocks are made of it.",
  },
  {
    part: "bases",
    label: "Yarns",
    one: "Add a yarn",
    tap: "Tap a yarn to change its fibres, its own colour or its flecks.",
    empty:
      "No yarns yet. A yarn is what it is spun of, whether it is superwash, and the colour that it has before it is dyed. Skeins are made of it.",
  },
  {
    part: "tools",
    label: "Measuring tools",
    one: "Add a tool",
    tap: "Tap a tool to change how much it holds and how finely it is marked.",
    empty:
      "No tools yet. With a scale, a syringe or a cylinder on the shelf, every amount can be told as you are able to measure it.",
  },
];

/** Lists longer than this are looked through by typing. */
const FEW = 8;

/** What is in hand: something of the shelf by its id, or something that is only begun. */
type Hand =
  | { id: Id }
  | {
      begun:
        | { part: "dyes"; item: ShelfDye }
        | { part: "bases"; item: ShelfBase }
        | { part: "tools"; item: ShelfTool };
    };

/** The shelf: dyes, yarns and the tools to measure with. */
export function Shelf() {
  const { prepared } = usePreparation();
  const [part, setPart] = useState<Part>("dyes");
  const [hand, setHand] = useState<Hand | null>(null);
  const [find, setFind] = useState("");
  const [gone, setGone] = useState(false);
  if (prepared === null) return null;
  const { shelf } = prepared;
  const entry = PARTS.find((one) => one.part === part);
  const all: readonly (ShelfDye | ShelfBase | ShelfTool)[] = shelf[part];
  const shown = all.filter((item) => (gone || !item.retired) && isFound(item, find));
  const away = all.filter(({ retired }) => retired).length;
  const chosen = hand && "id" in hand ? hand.id : hand?.begun.item.id;
  const begun = hand && "begun" in hand ? hand.begun : null;
  const on = <Item extends { id: Id }>(items: readonly Item[]) =>
    items.find(({ id }) => id === chosen);
  const dye = part === "dyes" ? (on(shelf.dyes) ?? (begun?.part === "dyes" && begun.item)) : null;
  const base =
    part === "bases" ? (on(shelf.bases) ?? (begun?.part === "bases" && begun.item)) : null;
  const tool =
    part === "tools" ? (on(shelf.tools) ?? (begun?.part === "tools" && begun.item)) : null;
  const there = all.some(({ id }) => id === chosen);
  const done = () => setHand(null);
  const add = () => {
    setFind("");
    if (part === "dyes") setHand({ begun: { part, item: freshDye() } });
    else if (part === "bases") setHand({ begun: { part, item: freshBase() } });
    else setHand({ begun: { part, item: freshTool() } });
  };
  const inHand = Boolean(dye || base || tool);
  return (
    <div class="shelf" data-hand={inHand}>
      <div class="shelf-list">
        <div class="shelf-parts">
          {PARTS.map((one) => (
            <button
              key={one.part}
              type="button"
              class="chip"
              aria-pressed={part === one.part}
              onClick={() => {
                setPart(one.part);
                setHand(null);
                setFind("");
              }}
            >
              {one.label}
            </button>
          ))}
          <button type="button" class="green-button" onClick={add}>
            {entry?.one}
          </button>
        </div>
        {all.length > FEW && (
          <input
            class="blank-box"
            type="search"
            aria-label={`Find among ${entry?.label.toLowerCase()}`}
            placeholder="Find by name, code, lot or fibre"
            value={find}
            onInput={(event) => setFind(event.currentTarget.value)}
          />
        )}
        {all.length === 0 && <p class="shelf-lead">{entry?.empty}</p>}
        {all.length > 0 && shown.length === 0 && (
          <p class="shelf-lead">
            {find.trim() === "" ? "All of these are out of use." : "Nothing like that here."}
          </p>
        )}
        <ul class="shelf-items">
          {shown.map((item) => (
            <li key={item.id}>
              <button
                type="button"
                class="shelf-item"
                aria-pressed={item.id === chosen}
                data-retired={item.retired}
                onClick={() => setHand({ id: item.id })}
              >
                {"dyeClass" in item && <DyeLine shelf={shelf} dye={item} />}
                {"fibres" in item && <BaseLine base={item} />}
                {"tool" in item && <ToolLine shelf={shelf} tool={item} />}
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
        {dye && <DyeEditor key={dye.id} shelf={shelf} dye={dye} there={there} onDone={done} />}
        {base && <BaseEditor key={base.id} base={base} there={there} onDone={done} />}
        {tool && <ToolEditor key={tool.id} shelf={shelf} tool={tool} there={there} onDone={done} />}
        {!inHand && (
          <>
            {all.length > 0 && <p class="shelf-lead">{entry?.tap}</p>}
            <Tables key={part} usual={part} shelf={shelf} />
          </>
        )}
      </aside>
    </div>
  );
}
