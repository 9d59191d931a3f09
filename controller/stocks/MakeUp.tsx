import { useState } from "preact/hooks";
import { showMass, showStrength, showVolume } from "../../shared/dye/display.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { massUgFor } from "../../shared/dye/strength.ts";
import { type StrengthRange, strengthWeighed, weighing } from "../../shared/dye/weighing.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { Shelf, ShelfStock } from "../../shared/shelf/shelf.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Select } from "../form/Select.tsx";
import { Words } from "../form/Words.tsx";
import { newId } from "../link/id.ts";
import { usePreparation } from "../prepare/context.tsx";
import { today } from "../prepare/today.ts";
import { powderTaken, tooLittle, weighingNotes } from "./bottle.ts";

type Part = { dye: Id; pct: number; weighedUg: number | null };

/** A stock from powder: what to weigh, what the scale really read, and the strength of that. */
export function MakeUp({ shelf, onDone }: { shelf: Shelf; onDone: () => void }) {
  const { change } = usePreparation();
  const dyes = shelf.dyes.filter(({ retired }) => !retired);
  const scales = shelf.tools.flatMap(({ id, name, tool, retired }) =>
    !retired && tool.kind === "scale" ? [{ id, name, divisionUg: tool.divisionUg }] : [],
  );
  const [volumeUl, setVolumeUl] = useState<number | null>(100_000);
  const [parts, setParts] = useState<readonly Part[]>(
    dyes[0] ? [{ dye: dyes[0].id, pct: 1, weighedUg: null }] : [],
  );
  const [scale, setScale] = useState(scales[0]?.id ?? "");
  const [name, setName] = useState<string | null>(null);
  if (dyes.length === 0) {
    return (
      <p class="stocks-lead">
        There is no dye on the shelf yet. Put one there first, under Shelf: a stock is made of it.
      </p>
    );
  }
  const divisionUg = scales.find(({ id }) => id === scale)?.divisionUg ?? 10_000;
  const named = (id: Id) => dyes.find((dye) => dye.id === id)?.name ?? id;
  const usual = parts.map(({ dye }) => named(dye)).join(" and ");
  const put = (at: number, part: Partial<Part>) =>
    setParts(parts.map((one, n) => (n === at ? { ...one, ...part } : one)));
  const masses: Record<Id, number> = {};
  for (const { dye, pct, weighedUg } of parts) {
    masses[dye] = (masses[dye] ?? 0) + (weighedUg ?? massUgFor(pct, volumeUl ?? 0));
  }
  const lacking = tooLittle(shelf, masses);
  const make = (toMake: boolean) => {
    if (volumeUl === null) return;
    const bottle: ShelfStock = {
      id: newId(),
      name: (name ?? usual).trim() || usual,
      volumeUl,
      dyes: masses,
      toMake,
      retired: false,
      ...(toMake ? {} : { madeOn: today() }),
    };
    const because = `${toMake ? "planned" : "made up"} ${showVolume(volumeUl)} of ${bottle.name}`;
    void change({
      change: "several",
      changes: [
        { change: "shelve", part: "stocks", item: bottle },
        ...(toMake ? [] : powderTaken(shelf, masses)),
      ],
      because,
    }).then((answer) => {
      if (answer.ok) onDone();
    });
  };
  return (
    <section class="stocks-form">
      <h2>Make up a stock</h2>
      <div class="stocks-fields">
        <Quantity
          label="Made up to"
          field={{ kind: "volume", max: 100_000_000 }}
          value={volumeUl}
          onValue={setVolumeUl}
          show={showVolume}
        />
        {scales.length > 0 && (
          <Select
            label="Weighed on"
            options={scales.map(({ id, name }) => ({ value: id as string, label: name }))}
            value={scale}
            onValue={setScale}
          />
        )}
      </div>
      {parts.map((part, at) => (
        <div class="stocks-fields" key={`${at} ${part.dye}`}>
          <Select
            label="Dye"
            options={dyes.map(({ id, name }) => ({ value: id, label: name }))}
            value={part.dye}
            onValue={(dye) => put(at, { dye })}
          />
          <Quantity
            label="Strength, g in 100 mL"
            field={{ kind: "percent", max: 50 }}
            value={part.pct}
            onValue={(pct) => {
              if (pct !== null) put(at, { pct });
            }}
            show={showStrength}
          />
          <Quantity
            label="What the scale read"
            field={{ kind: "mass" }}
            value={part.weighedUg}
            onValue={(weighedUg) => put(at, { weighedUg })}
            show={showMass}
            optional
            hint="Once it is weighed"
          />
          <Weighed part={part} volumeUl={volumeUl ?? 0} divisionUg={divisionUg} />
        </div>
      ))}
      <div class="prepare-ways">
        <button
          type="button"
          class="quiet-button"
          disabled={parts.length >= dyes.length}
          onClick={() => {
            const next = dyes.find(({ id }) => parts.every(({ dye }) => dye !== id));
            if (next) setParts([...parts, { dye: next.id, pct: 0.5, weighedUg: null }]);
          }}
        >
          One more dye in it
        </button>
        {parts.length > 1 && (
          <button type="button" class="quiet-button" onClick={() => setParts(parts.slice(0, -1))}>
            Without the last
          </button>
        )}
      </div>
      <Words
        label="Name on the bottle"
        value={name ?? usual}
        onValue={setName}
        wrong={(name ?? usual).trim() === "" ? "It needs a name." : null}
      />
      {lacking.map((say) => (
        <p key={say} class="stocks-warning">
          {say}
        </p>
      ))}
      {weighingNotes(shelf, Object.keys(masses)).map((note) => (
        <p key={note} class="stocks-caution">
          {note}
        </p>
      ))}
      <div class="prepare-ways">
        <button
          type="button"
          class="green-button"
          disabled={volumeUl === null}
          onClick={() => make(false)}
        >
          It is made
        </button>
        <button
          type="button"
          class="quiet-button"
          disabled={volumeUl === null}
          onClick={() => make(true)}
        >
          Plan it for later
        </button>
        <button type="button" class="quiet-button" onClick={onDone}>
          Leave it
        </button>
      </div>
    </section>
  );
}

/** What to weigh, and how sure the strength is on this scale. */
function Weighed(props: { part: Part; volumeUl: number; divisionUg: number }) {
  const { part, volumeUl, divisionUg } = props;
  if (volumeUl === 0) return null;
  const asked = weighing(part.pct, volumeUl, divisionUg);
  if (part.weighedUg !== null) {
    const strength = strengthWeighed(part.weighedUg, volumeUl, divisionUg);
    return (
      <p class="stocks-weigh figures">
        {`${showMass(part.weighedUg)} make it ${sayRange(strength)}.`}
      </p>
    );
  }
  if (refused(asked)) return <p class="stocks-weigh">{asked.say}</p>;
  return (
    <p class="stocks-weigh figures">
      {`Weigh ${showMass(asked.shownUg)}: that is ${sayRange(asked.strength)}.`}
    </p>
  );
}

/** A strength with what half a division of the scale does to it either way. */
function sayRange({ pct, highPct }: StrengthRange): string {
  return `${showStrength(pct)}, give or take ${showStrength(highPct - pct)} on this scale`;
}
