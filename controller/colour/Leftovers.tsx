import type { ComponentChildren } from "preact";
import { useMemo, useState } from "preact/hooks";
import { flecksOn } from "../../shared/colour/fleck.ts";
import { leftoverOn, type Remainder } from "../../shared/colour/leftover.ts";
import { type Prediction, sayGamut } from "../../shared/colour/predict.ts";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { depthPct } from "../../shared/dye/depth.ts";
import { showDepth, showVolume, THIN_SPACE } from "../../shared/dye/display.ts";
import type { Id } from "../../shared/session/setup.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Select } from "../form/Select.tsx";
import { Tick } from "../form/Tick.tsx";
import { newId } from "../link/id.ts";
import { stockHex } from "../stocks/bottle.ts";
import type { Desk } from "./desk.ts";
import { Flecks } from "./Flecks.tsx";
import { lasting } from "./lasting.ts";
import { type Left, leftAfter, leftNow } from "./left.ts";
import { pourRests } from "./pour.ts";
import { sayList, sayPredicted } from "./say.ts";
import { dosesFrom } from "./shelf.ts";

/** Stands for the bath among the bottles. */
const BATH = "bath";

const useAfter = lasting(true);
const useOut = lasting<ReadonlySet<Id>>(new Set());
const useBath = lasting({ dye: "", mostPct: 0.2, leastOf: 30 });

/** All that is left, on one more skein: its colour, its flecks, and what is better held back. */
export function Leftovers({ desk }: { desk: Desk }) {
  const { shelf, known, massUg, plan } = desk;
  const [after, setAfter] = useAfter();
  const [out, setOut] = useOut();
  const [bath, setBath] = useBath();
  const content = plan?.content;
  const isAfter = after && content !== undefined;
  const bottles = useMemo(
    () => (isAfter ? leftAfter(content, shelf) : leftNow(shelf)),
    [isAfter, content, shelf],
  );
  const remainders = useMemo(() => {
    const all = bottles
      .filter(({ id }) => !out.has(id))
      .map(({ id, name, dyes }): Remainder => {
        const depths = Object.entries(dyes).map(
          ([dye, ug]) => [dye, depthPct(ug, massUg)] as const,
        );
        return { id, name, doses: dosesFrom(known, Object.fromEntries(depths)) };
      });
    const dye = known.find(({ id }) => id === bath.dye);
    if (dye) {
      const doses = [{ dye: dye.dye, depthPct: bath.mostPct }];
      all.push({ id: BATH, name: "the bath", doses, atLeast: bath.leastOf / 100 });
    }
    return all;
  }, [bottles, out, known, massUg, bath]);
  const hold = (ids: readonly Id[]) => {
    setOut(new Set([...out, ...ids.filter((id) => id !== BATH)]));
    if (ids.includes(BATH)) setBath({ ...bath, dye: "" });
  };
  return (
    <section class="colour-left" aria-label="Leftovers">
      <div class="colour-section">
        <h2>What is left</h2>
        {content && <Tick label="Once the plan has run" value={after} onValue={setAfter} />}
        {bottles.length === 0 && (
          <p class="colour-lead">
            {isAfter
              ? "Nothing is left in the bottles once the plan has run."
              : "No bottle has anything in it. What is left after a stream stands here, to see what it makes of one more skein."}
          </p>
        )}
        <ul class="colour-bottles">
          {bottles.map((bottle) => (
            <li key={bottle.id}>
              <DippedStrip
                dyedHex={stockHex(shelf, bottle)}
                undyedHex="#f3ecdf"
                width={22}
                height={44}
                seed={bottle.id}
              />
              <Tick
                label={`${bottle.name}, ${sayLeft(bottle, massUg)}`}
                value={!out.has(bottle.id)}
                onValue={(value) => {
                  const next = new Set(out);
                  if (value) next.delete(bottle.id);
                  else next.add(bottle.id);
                  setOut(next);
                }}
              />
            </li>
          ))}
        </ul>
        <div class="colour-fields">
          <Select
            label="A bath not exhausted"
            options={[
              { value: "", label: "None" },
              ...known.map(({ id, name }) => ({ value: id, label: name })),
            ]}
            value={bath.dye}
            onValue={(dye) => setBath({ ...bath, dye })}
          />
          {bath.dye !== "" && (
            <>
              <Quantity
                label="Most left in it"
                field={{ kind: "percent", max: 100 }}
                value={bath.mostPct}
                show={showDepth}
                hint="Depth it would give on this skein"
                onValue={(mostPct) => mostPct !== null && setBath({ ...bath, mostPct })}
              />
              <Quantity
                label="Of that, surely"
                field={{ kind: "percent", zero: true, max: 100 }}
                value={bath.leastOf}
                show={(value) => `${value}${THIN_SPACE}%`}
                hint="A bath is judged by eye"
                onValue={(leastOf) => leastOf !== null && setBath({ ...bath, leastOf })}
              />
            </>
          )}
        </div>
      </div>
      {remainders.length > 0 ? (
        <Outcome desk={desk} remainders={remainders} onHold={hold}>
          {isAfter && <OneMore desk={desk} bottles={bottles.filter(({ id }) => !out.has(id))} />}
        </Outcome>
      ) : (
        <p class="colour-lead">Tick a bottle to see what it makes of one more skein.</p>
      )}
    </section>
  );
}

function sayLeft({ volumeUl, dyes }: Left, massUg: number): string {
  const ug = Object.values(dyes).reduce((sum, one) => sum + one, 0);
  return `${showVolume(volumeUl)}, ${showDepth(depthPct(ug, massUg))} on this skein`;
}

/** What all of it gives, and what is better held back. */
function Outcome(props: {
  desk: Desk;
  remainders: readonly Remainder[];
  onHold: (ids: readonly Id[]) => void;
  children: ComponentChildren;
}) {
  const { desk, remainders, onHold, children } = props;
  const { yarn, flecks, limitPct } = desk;
  const plan = useMemo(() => leftoverOn(yarn, remainders, flecks), [yarn, remainders, flecks]);
  const { leastPct, mostPct, predicted, palest, better } = plan;
  const isRange = mostPct - leastPct >= 0.005;
  const least = remainders.flatMap(({ doses, atLeast = 1 }) =>
    doses.map(({ dye, depthPct: pct }) => ({ dye, depthPct: pct * atLeast })),
  );
  const back = remainders.filter(({ id }) => better?.heldBack.includes(id) === true);
  const restPct = remainders
    .filter((one) => !back.includes(one))
    .flatMap(({ doses }) => doses)
    .reduce((sum, dose) => sum + dose.depthPct, 0);
  return (
    <div class="colour-outcome">
      <h2>On one more skein</h2>
      <p>
        <b class="colour-figure figures">
          {isRange ? `${showDepth(leastPct)} to ${showDepth(mostPct)}` : showDepth(mostPct)}
        </b>{" "}
        depth of shade, all of it
      </p>
      <Ground desk={desk} predicted={predicted} says={isRange ? "With the most of the bath" : ""} />
      <Flecks report={plan.flecks} />
      {isRange && (
        <>
          <Ground desk={desk} predicted={palest} says="With the least of the bath" />
          <Flecks report={flecksOn(yarn, least, flecks)} />
        </>
      )}
      {mostPct > limitPct && (
        <p class="colour-warning">
          More than {showDepth(limitPct)}, the deepest that the workroom dyes: what the yarn does
          not take stays in the bath.
        </p>
      )}
      {better && (
        <div class="colour-better">
          <h2>Better</h2>
          <p>
            Hold back <bdi>{sayList(back.map(({ name }) => name))}</bdi>: the rest gives{" "}
            <b class="figures">{showDepth(restPct)}</b>, a clearer colour.
          </p>
          <Ground desk={desk} predicted={better.predicted} says="" />
          <Flecks report={better.flecks} />
          <button type="button" class="quiet-button" onClick={() => onHold(better.heldBack)}>
            Hold it back
          </button>
        </div>
      )}
      {children}
    </div>
  );
}

function Ground({ desk, predicted, says }: { desk: Desk; predicted: Prediction; says: string }) {
  const { base } = desk;
  const gamut = sayGamut(predicted);
  const said = sayPredicted(predicted);
  return (
    <div class="colour-ground">
      <DippedStrip
        dyedHex={predicted.hex}
        undyedHex={base.hex}
        width={52}
        height={112}
        seed={`left ${says}`}
        title={`Predicted ${predicted.hex}`}
        patches={base.flecks.map(({ hex }) => ({ hex, coverage: 0.06, specks: true }))}
      />
      <div>
        {says !== "" && <b>{says}</b>}
        <p class="figures">
          {said}. {gamut}
        </p>
      </div>
    </div>
  );
}

/** Puts one more skein with all that is left into the plan. */
function OneMore({ desk, bottles }: { desk: Desk; bottles: readonly Left[] }) {
  const { plan, base, massUg, change } = desk;
  const [chosen, setChosen] = useState<Id | null>(null);
  if (plan === null || bottles.length === 0) return null;
  const { pans, skeins } = plan.content;
  const pan = pans.find(({ id }) => id === chosen) ?? pans.at(-1);
  if (!pan) {
    return <p class="colour-quiet">Put a pan in the plan, and this skein can be laid in it.</p>;
  }
  const taken = new Set(skeins.map(({ name }) => name));
  let name = "Leftovers";
  for (let n = 2; taken.has(name); n++) name = `Leftovers ${n}`;
  return (
    <div class="colour-into">
      <Select
        label="In the pan"
        options={pans.map(({ id, name: label }) => ({ value: id, label }))}
        value={pan.id}
        onValue={setChosen}
      />
      <button
        type="button"
        class="quiet-button"
        onClick={() => {
          const rests = bottles.map(({ id, volumeUl }) => ({ stock: id, volumeUl }));
          const skein = { id: newId(), name, base: base.id, massUg, pan: pan.id };
          change(pourRests(plan.id, skein, rests, newId));
        }}
      >
        Put this skein in the plan
      </button>
    </div>
  );
}
