import { useState } from "preact/hooks";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { showCount, showMass, showStrength } from "../../shared/dye/display.ts";

import { gFromUg } from "../../shared/dye/units.ts";
import type { FollowRecipe, FollowStock } from "../../shared/session/views/followRecipe.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";
import { type Choices, noChoices } from "./kept.ts";
import { Stepped } from "./Stepped.tsx";
import { undyedOf } from "./Strip.tsx";
import { listed, named } from "./say.ts";
import { dropperId, sayTool, toolChoices } from "./tools.ts";
import { dropUlFrom, fibreUgFrom, strengthPctFrom } from "./typed.ts";

type MineProps = {
  view: PublicView;
  recipe: FollowRecipe;
  choices: Choices;
  choose: (choices: Choices) => void;
};

/** What the viewer has: yarn, stocks and a measuring tool. Closed, it is one line at the top. */
export function Mine({ view, recipe, choices, choose }: MineProps) {
  const [open, setOpen] = useState(false);
  return (
    <section class="mine" aria-labelledby="mine">
      <h2 id="mine">
        <button type="button" class="toggle" aria-expanded={open} onClick={() => setOpen(!open)}>
          <span class="what">{sayMine(view, recipe, choices)}</span>
          <span class="act">{open ? "Close" : "Change"}</span>
        </button>
      </h2>
      {open && (
        <div class="settings">
          <Yarn view={view} recipe={recipe} choices={choices} choose={choose} />
          <Stocks view={view} recipe={recipe} choices={choices} choose={choose} />
          <Tools choices={choices} choose={choose} />
          <p class="aside">
            Another yarn keeps the depth of shade; the colour may still turn out otherwise. All this
            stays on your phone.
          </p>
          <button type="button" class="quiet" onClick={() => choose(noChoices)}>
            All as in the session
          </button>
        </div>
      )}
    </section>
  );
}

function sayMine(view: PublicView, recipe: FollowRecipe, choices: Choices): string {
  const { fibre } = choices;
  const ownStocks = recipe.stocks.filter(({ ownPct }) => ownPct !== null).length;
  const tool = sayTool(choices.toolId);
  const more = [
    ...(ownStocks === 0 ? [] : [`${showCount(ownStocks, "stock")} of mine`]),
    ...(tool === null ? [] : [tool]),
  ];
  if (fibre.of === "session") {
    const there = sayFibreThere(view, recipe);
    return more.length === 0
      ? `Amounts for ${there}, as in the session. Yours differ?`
      : `Amounts for ${listed([there, ...more])}`;
  }
  const yarn = `${showMass(fibre.massUg)} ${fibre.of === "skein" ? "a skein" : "in all"}`;
  return `Amounts for ${listed([yarn, ...more])}`;
}

/** "50 g skeins"; "skeins of 50 to 100 g". */
function sayFibreThere(view: PublicView, { terms }: FollowRecipe): string {
  const masses = terms.set.skeins.map((id) => view.skeins[id]?.massUg ?? 0);
  const [least, most] = [Math.min(...masses), Math.max(...masses)];
  if (masses.length === 0) return "the yarn";
  return least === most
    ? `${showMass(most)} skeins`
    : `skeins of ${showMass(least)} to ${showMass(most)}`;
}

function Yarn({ view, recipe, choices, choose }: MineProps) {
  const { fibre } = choices;
  const { skeins } = recipe.terms.set;
  const setUg = skeins.reduce((sum, id) => sum + (view.skeins[id]?.massUg ?? 0), 0);
  const [first] = skeins;
  const skeinUg = (first === undefined ? undefined : view.skeins[first]?.massUg) ?? 50_000_000;
  const of = fibre.of === "set" ? "set" : "skein";
  const thereUg = of === "set" ? setUg : skeinUg;
  const massUg = fibre.of === "session" ? thereUg : fibre.massUg;
  const change = (to: "skein" | "set") => {
    if (to === of) return;
    const all = Math.max(1, skeins.length);
    const next = to === "set" ? massUg * all : Math.max(1, Math.round(massUg / all));
    choose({ ...choices, fibre: { of: to, massUg: next } });
  };
  return (
    <fieldset>
      <legend>I have</legend>
      <Stepped
        key={of}
        label={of === "set" ? "Grams of dry yarn in all" : "Grams of dry yarn a skein"}
        unit="g"
        value={massUg}
        show={showGrams}
        read={fibreUgFrom}
        say={showMass}
        step={(ug, way) => Math.max(1_000_000, ug + way * (of === "set" ? 5_000_000 : 1_000_000))}
        onValue={(ug) => choose({ ...choices, fibre: { of, massUg: ug } })}
      />
      <div class="either">
        <Choice
          name="of"
          checked={of === "skein"}
          onChoose={() => change("skein")}
          title="a skein"
          more={`session: ${sayFibreThere(view, recipe)}`}
        />
        <Choice
          name="of"
          checked={of === "set"}
          onChoose={() => change("set")}
          title="the whole set"
          more={`session: ${showMass(setUg)}, ${skeins.length} ${skeins.length === 1 ? "skein" : "skeins"}`}
        />
      </div>
    </fieldset>
  );
}

function showGrams(massUg: number): string {
  return String(gFromUg(massUg));
}

type ChoiceProps = {
  name: string;
  checked: boolean;
  onChoose: () => void;
  title: string;
  more: string;
};

function Choice({ name, checked, onChoose, title, more }: ChoiceProps) {
  return (
    <label class="choice">
      <input type="radio" name={name} checked={checked} onChange={onChoose} />
      <span>
        <b>{title}</b> <small>{more}</small>
      </span>
    </label>
  );
}

/** Usual strengths of stocks, %; common practice, no source. */
const usualPct = [0.1, 0.2, 0.25, 0.5, 1, 1.5, 2, 2.5, 3, 4, 5, 10];

function nextUsual(pct: number, way: 1 | -1): number {
  const found =
    way === 1
      ? usualPct.find((usual) => usual > pct)
      : [...usualPct].reverse().find((usual) => usual < pct);
  return found ?? pct;
}

function Stocks({ view, recipe, choices, choose }: MineProps) {
  if (recipe.stocks.length === 0) return null;
  return (
    <fieldset class="mystocks">
      <legend>My stocks</legend>
      <ul class="stocks">
        {recipe.stocks.map((stock) => (
          <li key={`${stock.kind} ${stock.id}`}>
            <DippedStrip
              dyedHex={stock.hex}
              undyedHex={undyedOf(view, undefined)}
              width={24}
              height={48}
              seed={stock.id}
            />
            <p class="name">
              <b dir="auto">{stock.name}</b>
              <small class="figures">session: {sayStock(stock)}</small>
            </p>
            <Stepped
              label={`Strength of my ${stock.name}`}
              unit="%"
              value={stock.ownPct ?? stock.sessionPct[0] ?? 1}
              show={String}
              read={strengthPctFrom}
              say={showStrength}
              step={nextUsual}
              onValue={(pct) => choose(withStrength(choices, stock, pct))}
            />
            {stock.ownPct !== null && (
              <button
                type="button"
                class="back"
                onClick={() => choose(withStrength(choices, stock, null))}
              >
                <span class="unseen">{stock.name} </span>as in the session
              </button>
            )}
          </li>
        ))}
      </ul>
    </fieldset>
  );
}

function sayStock({ sessionPct, of }: FollowStock): string {
  const strengths = listed(sessionPct.map(showStrength));
  if (of === undefined) return strengths === "" ? "only in a mix" : strengths;
  return `a mix, ${strengths} in all: ${of.map(({ name, pct }) => `${named(name)} ${showStrength(pct)}`).join(", ")}`;
}

function withStrength(choices: Choices, { kind, id }: FollowStock, pct: number | null): Choices {
  const place = kind === "dye" ? "dyePct" : "mixPct";
  const { [id]: _, ...others } = choices[place];
  return { ...choices, [place]: pct === null ? others : { ...others, [id]: pct } };
}

type ToolsProps = Pick<MineProps, "choices" | "choose">;

function Tools({ choices, choose }: ToolsProps) {
  const pick = (toolId: string | null) => choose({ ...choices, toolId });
  const usualDropUl = 50;
  return (
    <fieldset>
      <legend>I measure with</legend>
      <div class="tools">
        <Choice
          name="tool"
          checked={choices.toolId === null}
          onChoose={() => pick(null)}
          title="Anything"
          more="exact amounts"
        />
        {toolChoices.map(({ id, name, marks }) => (
          <Choice
            key={id}
            name="tool"
            checked={choices.toolId === id}
            onChoose={() => pick(id)}
            title={name}
            more={marks}
          />
        ))}
        <Choice
          name="tool"
          checked={choices.toolId === dropperId}
          onChoose={() => pick(dropperId)}
          title="Dropper"
          more="drops counted in 1 mL"
        />
      </div>
      {choices.toolId === dropperId && (
        <Stepped
          label="Drops of my dropper in 1 mL"
          unit="drops"
          value={choices.dropUl}
          show={showDrops}
          read={dropUlFrom}
          say={(dropUl) => `${showDrops(dropUl)} drops`}
          step={(dropUl, way) => 1_000 / Math.max(1, Math.min(100, dropsOf(dropUl) + way))}
          first={usualDropUl}
          onValue={(dropUl) => choose({ ...choices, dropUl })}
        />
      )}
    </fieldset>
  );
}

function dropsOf(dropUl: number): number {
  return Math.round(100_000 / dropUl) / 100;
}

function showDrops(dropUl: number): string {
  return String(dropsOf(dropUl));
}
