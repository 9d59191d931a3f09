import "./colour.css";
import { useMemo } from "preact/hooks";
import { showMass } from "../../shared/dye/display.ts";
import { emptyPlan } from "../../shared/plan/plan.ts";
import type { Id } from "../../shared/session/setup.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Select } from "../form/Select.tsx";
import { usePreparation } from "../prepare/context.tsx";
import type { Desk } from "./desk.ts";
import { Fades } from "./Fades.tsx";
import { readKept, writeKept } from "./kept.ts";
import { Leftovers } from "./Leftovers.tsx";
import { lasting } from "./lasting.ts";
import { Matching } from "./Matching.tsx";
import { Recipes } from "./Recipes.tsx";
import { flecksOf, knownDyes, yarnOf } from "./shelf.ts";

const PARTS = [
  { part: "match", label: "Picture and match" },
  { part: "recipes", label: "Recipes and flecks" },
  { part: "fade", label: "Fade" },
  { part: "left", label: "Leftovers" },
] as const;

type Part = (typeof PARTS)[number]["part"];

const usePart = lasting<Part>("match");
const useBase = lasting<Id | null>(null);
const useMass = lasting(50_000_000);
const useOver = lasting<Id | null>(null);
const useKept = lasting(readKept());

/** From a picture to a recipe: palette, matching, fades, flecks and leftovers. */
export function Colour({ plan }: { plan: Id | null }) {
  const { prepared, change } = usePreparation();
  const [part, setPart] = usePart();
  const [chosen, setChosen] = useBase();
  const [massUg, setMassUg] = useMass();
  const [over, setOver] = useOver();
  const [kept, setKept] = useKept();
  const shelf = prepared?.shelf;
  const content = plan === null ? undefined : prepared?.plans[plan]?.plan;
  const { limitPct } = (content ?? emptyPlan).workroom;
  const known = useMemo(() => (shelf ? knownDyes(shelf, limitPct) : []), [shelf, limitPct]);
  const bases = useMemo(() => (shelf?.bases ?? []).filter(({ retired }) => !retired), [shelf]);
  const base =
    bases.find(({ id }) => id === chosen) ??
    bases.find(({ id }) => id === content?.skeins[0]?.base) ??
    bases[0];
  const yarn = useMemo(() => (base ? yarnOf(base) : null), [base]);
  const flecks = useMemo(() => (base ? flecksOf(base) : []), [base]);
  if (!shelf) return null;
  if (!base || !yarn || known.length === 0) {
    return (
      <p class="colour-lead">
        A recipe is worked out from your own dyes on your own yarn. Put a yarn on the shelf, and at
        least one dye with the colour that it gave at a depth: then a picture becomes a palette
        here, and a palette becomes pours.
      </p>
    );
  }
  const desk: Desk = {
    shelf,
    plan: plan !== null && content ? { id: plan, content } : null,
    known,
    base,
    yarn,
    flecks,
    massUg,
    limitPct,
    kept,
    onKept: (next) => {
      writeKept(next);
      setKept(next);
    },
    over,
    onOver: setOver,
    change: (one) => void change(one),
  };
  return (
    <div class="colour">
      <div class="colour-head">
        <div class="colour-parts">
          {PARTS.map((one) => (
            <button
              key={one.part}
              type="button"
              class="chip"
              aria-pressed={part === one.part}
              onClick={() => setPart(one.part)}
            >
              {one.label}
            </button>
          ))}
        </div>
        <Select
          label="On yarn"
          options={bases.map(({ id, name }) => ({ value: id, label: name }))}
          value={base.id}
          onValue={setChosen}
        />
        <Quantity
          label="A skein of"
          field={{ kind: "mass", max: 100_000_000_000 }}
          value={massUg}
          show={showMass}
          onValue={(value) => value !== null && setMassUg(value)}
        />
      </div>
      <div hidden={part !== "match"}>
        <Matching desk={desk} />
      </div>
      {part === "recipes" && <Recipes desk={desk} />}
      {part === "fade" && <Fades desk={desk} />}
      {part === "left" && <Leftovers desk={desk} />}
      <p class="colour-note">
        Every colour here is a prediction for dry, rinsed yarn that took all its dye, never a
        measurement, and ± is how far the yarn may well be from it. Dye a test skein before a large
        one.
      </p>
    </div>
  );
}
