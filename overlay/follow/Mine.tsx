import { useId, useState } from "preact/hooks";
import { showMass, showStrength } from "../../shared/dye/display.ts";
import { gFromUg } from "../../shared/dye/units.ts";
import type { FollowRecipe, FollowStock } from "../../shared/session/views/followRecipe.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";
import { CautionLine } from "./Cautions.tsx";
import { checkDrops, checkStrength, dropsField, fibreField, strengthField } from "./fields.ts";
import { type Choices, noChoices } from "./kept.ts";
import { Stepped } from "./Stepped.tsx";
import { Dyed, undyedOf } from "./Strip.tsx";
import {
  isAsInSession,
  listed,
  named,
  otherYarnWarning,
  powderWarning,
  sayBases,
  sayFibreThere,
  sayMine,
} from "./say.ts";
import { dropperId, toolChoices } from "./tools.ts";

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
          <span class="what">
            {sayMine(view, recipe, choices)}
            {isAsInSession({ choices, recipe }) && <span class="ask">. Yours differ?</span>}
          </span>
          <span class="act">{open ? "Close" : "Change"}</span>
        </button>
      </h2>
      {open && (
        <div class="settings">
          <Yarn view={view} recipe={recipe} choices={choices} choose={choose} />
          <Stocks view={view} recipe={recipe} choices={choices} choose={choose} />
          <Tools choices={choices} choose={choose} />
          <fieldset>
            <legend>I read</legend>
            <Tick
              checked={choices.kitchen}
              onTick={(kitchen) => choose({ ...choices, kitchen })}
              title="Teaspoons and ounces too"
              more="beside mL and g"
            />
            <Tick
              checked={choices.large}
              onTick={(large) => choose({ ...choices, large })}
              title="Large type"
              more="to read from the bench"
            />
          </fieldset>
          <p class="aside">All this stays on your own device.</p>
          <button type="button" class="quiet" onClick={() => choose(noChoices)}>
            All as in the session
          </button>
        </div>
      )}
    </section>
  );
}

function Yarn({ view, recipe, choices, choose }: MineProps) {
  const { fibre } = choices;
  const { colourways, terms } = recipe;
  const { skeins } = terms.set;
  const setUg = skeins.reduce((sum, id) => sum + (view.skeins[id]?.massUg ?? 0), 0);
  const [first] = skeins;
  const skeinUg = (first === undefined ? undefined : view.skeins[first]?.massUg) ?? 50_000_000;
  const of = fibre.of === "session" ? "skein" : fibre.of;
  const chosen =
    fibre.of === "colourway"
      ? colourways.find(({ name }) => name === fibre.colourway)
      : colourways[0];
  const thereUg = { skein: skeinUg, colourway: chosen?.massUg ?? skeinUg, set: setUg }[of];
  const massUg = fibre.of === "session" ? thereUg : fibre.massUg;
  const id = useId();
  const take = (to: typeof of, ug: number, colourway = chosen?.name ?? "") =>
    choose({
      ...choices,
      fibre: to === "colourway" ? { of: to, colourway, massUg: ug } : { of: to, massUg: ug },
    });
  const change = (to: typeof of) => {
    if (to === of) return;
    const count = { skein: 1, colourway: chosen?.skeins.length ?? 1, set: skeins.length };
    take(to, Math.max(1, Math.round((massUg * Math.max(1, count[to])) / Math.max(1, count[of]))));
  };
  return (
    <fieldset>
      <legend>I have</legend>
      <Stepped
        key={of}
        label={gramsOf[of]}
        unit="g"
        field={fibreField}
        value={massUg}
        show={showGrams}
        say={showMass}
        step={(ug, way) => Math.max(1_000_000, ug + way * (of === "set" ? 5_000_000 : 1_000_000))}
        onValue={(ug) => take(of, ug)}
      />
      <div class="either">
        <Choice
          name="of"
          checked={of === "skein"}
          onChoose={() => change("skein")}
          title="a skein"
          more={`session: ${sayFibreThere(view, recipe)}`}
        />
        {colourways.length > 0 && (
          <Choice
            name="of"
            checked={of === "colourway"}
            onChoose={() => change("colourway")}
            title="one colourway"
            more="and nothing of the others"
          />
        )}
        {fibre.of === "colourway" && (
          <p class="which">
            <label for={id}>Colourway</label>
            <select
              id={id}
              value={fibre.colourway}
              onChange={(event) => take("colourway", massUg, event.currentTarget.value)}
            >
              {colourways.map(({ name, massUg, skeins }) => (
                <option key={name} value={name}>
                  {name}, {showMass(massUg)}
                  {skeins.length > 1 && ` in ${skeins.length} skeins`}
                </option>
              ))}
            </select>
          </p>
        )}
        <Choice
          name="of"
          checked={of === "set"}
          onChoose={() => change("set")}
          title="the whole set"
          more={`session: ${showMass(setUg)}, ${skeins.length} ${skeins.length === 1 ? "skein" : "skeins"}`}
        />
      </div>
      <Tick
        checked={choices.otherYarn}
        onTick={(otherYarn) => choose({ ...choices, otherYarn })}
        title="Another yarn than the session's"
        more={sayBases(view)}
      />
      {choices.otherYarn && <p class="warning">{otherYarnWarning}</p>}
    </fieldset>
  );
}

const gramsOf = {
  skein: "Grams of dry yarn a skein",
  colourway: "Grams of dry yarn for the colourway",
  set: "Grams of dry yarn in all",
} as const;

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

type TickProps = {
  checked: boolean;
  onTick: (on: boolean) => void;
  title: string;
  more: string;
};

function Tick({ checked, onTick, title, more }: TickProps) {
  return (
    <label class="choice">
      <input
        type="checkbox"
        checked={checked}
        onChange={(event) => onTick(event.currentTarget.checked)}
      />
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
      <Tick
        checked={choices.powder}
        onTick={(powder) => choose({ ...choices, powder })}
        title="I have none: powder only"
        more="weighed dry for every pour"
      />
      {choices.powder && <PowderWarning />}
      <ul class="stocks" hidden={choices.powder}>
        {recipe.stocks.map((stock) => (
          <li key={`${stock.kind} ${stock.id}`}>
            <Dyed
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
              field={strengthField}
              check={checkStrength}
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

function PowderWarning() {
  return (
    <div class="warning">
      <p>{powderWarning}</p>
      <CautionLine hazard="dryPowder" />
    </div>
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

/** Drops in 1 mL of most droppers; common practice, no source. */
const usualDrops = 20;

type ToolsProps = Pick<MineProps, "choices" | "choose">;

function Tools({ choices, choose }: ToolsProps) {
  const pick = (toolId: string | null) => choose({ ...choices, toolId });
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
          field={dropsField}
          check={checkDrops}
          value={choices.dropUl === null ? null : dropsOf(choices.dropUl)}
          show={String}
          say={(drops) => `${drops} drops`}
          step={(drops, way) => Math.max(1, Math.min(100, drops + way))}
          first={usualDrops}
          onValue={(drops) => choose({ ...choices, dropUl: 1_000 / drops })}
        />
      )}
    </fieldset>
  );
}

function dropsOf(dropUl: number): number {
  return Math.round(100_000 / dropUl) / 100;
}
