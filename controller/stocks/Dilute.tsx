import { useState } from "preact/hooks";
import { showStrength, showVolume } from "../../shared/dye/display.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { dilution, strengthPct } from "../../shared/dye/strength.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import type { Shelf, ShelfStock } from "../../shared/shelf/shelf.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Select } from "../form/Select.tsx";
import { Words } from "../form/Words.tsx";
import { newId } from "../link/id.ts";
import { usePreparation } from "../prepare/context.tsx";
import { today } from "../prepare/today.ts";
import { filledFrom } from "./bottle.ts";

/** From one bottle into a fresh one, or into another, with water. */
export function Dilute({ shelf, onDone }: { shelf: Shelf; onDone: () => void }) {
  const { change } = usePreparation();
  const used = shelf.stocks.filter(({ retired, toMake }) => !retired && !toMake);
  const full = used.filter(({ volumeUl }) => volumeUl > 0);
  const [fromId, setFromId] = useState(full[0]?.id ?? "");
  const [intoId, setIntoId] = useState("");
  const [toPct, setToPct] = useState<number | null>(0.1);
  const [volumeUl, setVolumeUl] = useState<number | null>(100_000);
  const [name, setName] = useState<string | null>(null);
  const from = full.find(({ id }) => id === fromId);
  if (!from) return <p class="stocks-lead">No bottle holds anything that could be diluted.</p>;
  const fromPct = strengthPct(totalUg(from.dyes), from.volumeUl);
  const made = toPct === null || volumeUl === null ? null : dilution(fromPct, toPct, volumeUl);
  const wrong =
    made === null
      ? null
      : refused(made)
        ? made.say
        : made.stockUl > from.volumeUl
          ? `${from.name} holds ${showVolume(from.volumeUl)}, and this takes ${showVolume(made.stockUl)}.`
          : null;
  const usual = `${from.name} ${toPct === null ? "thin" : showStrength(toPct)}`;
  const into = shelf.stocks.find(({ id }) => id === intoId);
  const filled =
    into && made !== null && !refused(made) && wrong === null
      ? filledFrom(into, from, made.stockUl, made.waterUl).into
      : null;
  const pourOver = () => {
    if (made === null || refused(made) || wrong !== null) return;
    const fresh: ShelfStock = {
      id: newId(),
      name: (name ?? usual).trim() || usual,
      volumeUl: 0,
      dyes: {},
      madeOn: today(),
      toMake: false,
      retired: false,
    };
    const after = filledFrom(into ?? fresh, from, made.stockUl, made.waterUl);
    const because = `diluted ${showVolume(made.stockUl)} of ${from.name} into ${after.into.name}`;
    void change({
      change: "several",
      changes: [
        { change: "shelve", part: "stocks", item: after.from },
        { change: "shelve", part: "stocks", item: after.into },
      ],
      because,
    }).then((answer) => {
      if (answer.ok) onDone();
    });
  };
  return (
    <section class="stocks-form">
      <h2>Dilute</h2>
      <div class="stocks-fields">
        <Select
          label="From"
          options={full.map(({ id, name, dyes, volumeUl }) => ({
            value: id as string,
            label: `${name}, ${showStrength(strengthPct(totalUg(dyes), volumeUl))}`,
          }))}
          value={fromId}
          onValue={setFromId}
        />
        <Select
          label="Into"
          options={[
            { value: "", label: "a fresh bottle" },
            ...used
              .filter(({ id }) => id !== fromId)
              .map(({ id, name }) => ({ value: id as string, label: name })),
          ]}
          value={intoId}
          onValue={setIntoId}
        />
        <Quantity
          label="To a strength of"
          field={{ kind: "percent", max: 100 }}
          value={toPct}
          onValue={setToPct}
          show={showStrength}
        />
        <Quantity
          label="How much of it"
          field={{ kind: "volume", max: 100_000_000 }}
          value={volumeUl}
          onValue={setVolumeUl}
          show={showVolume}
        />
      </div>
      {intoId === "" && (
        <Words label="Name on the bottle" value={name ?? usual} onValue={setName} />
      )}
      <p class={wrong === null ? "stocks-weigh figures" : "stocks-warning"}>
        {wrong ??
          (made !== null && !refused(made)
            ? `Take ${showVolume(made.stockUl)} of ${from.name}, with water to ${showVolume(made.stockUl + made.waterUl)} (${showVolume(made.waterUl)} of water).`
            : "")}
      </p>
      {filled && into && into.volumeUl > 0 && (
        <p class="stocks-weigh figures">
          {`With what ${into.name} holds already it comes to ${showVolume(filled.volumeUl)} at ${showStrength(strengthPct(totalUg(filled.dyes), filled.volumeUl))}.`}
        </p>
      )}
      <div class="prepare-ways">
        <button
          type="button"
          class="green-button"
          disabled={made === null || wrong !== null}
          onClick={pourOver}
        >
          It is done
        </button>
        <button type="button" class="quiet-button" onClick={onDone}>
          Leave it
        </button>
      </div>
    </section>
  );
}
