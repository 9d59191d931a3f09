import { useState } from "preact/hooks";
import { fibresProblem, type ShelfBase } from "../../shared/shelf/shelf.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Tick } from "../form/Tick.tsx";
import { Words } from "../form/Words.tsx";
import { usePreparation } from "../prepare/context.tsx";
import { ColourField } from "./ColourField.tsx";
import { ItemEditor } from "./ItemEditor.tsx";

type Fibre = { fibre: string; pct: number };

/** A yarn: its fibres, ply and finish, and the colour that it has before it is dyed. */
export function BaseEditor({ base, onDone }: { base: ShelfBase; onDone: () => void }) {
  const { change } = usePreparation();
  const put = (item: ShelfBase) => void change({ change: "shelve", part: "bases", item });
  // Percentages pass through sums that are not 100 while they are typed; those are kept here.
  const [draft, setDraft] = useState<readonly Fibre[] | null>(null);
  const fibres = draft ?? base.fibres;
  const wrong = fibresProblem({ name: base.name, fibres });
  const blend = (next: readonly Fibre[]) => {
    if (
      fibresProblem({ name: base.name, fibres: next }) === null &&
      next.every(({ fibre }) => fibre.trim() !== "")
    ) {
      put({ ...base, fibres: next });
      setDraft(null);
    } else setDraft(next);
  };
  return (
    <ItemEditor part="bases" item={base} onDone={onDone}>
      <div class="editor-fields">
        <Words
          label="Name"
          value={base.name}
          onValue={(name) => {
            if (name.trim() !== "") put({ ...base, name });
          }}
        />
        <Words
          label="Ply"
          value={base.ply ?? ""}
          onValue={(value) => {
            const { ply: _, ...rest } = base;
            put(value.trim() === "" ? rest : { ...rest, ply: value });
          }}
        />
        <ColourField
          label="Its own colour"
          hex={base.hex}
          onHex={(hex) => {
            const { seen: _, ...rest } = base;
            put({ ...rest, hex });
          }}
        />
        <Tick
          label="Superwash"
          value={base.superwash}
          onValue={(superwash) => put({ ...base, superwash })}
        />
      </div>
      <fieldset class="shelf-rows">
        <legend class="blank-label">Fibres, 100 % in all</legend>
        {fibres.map((one, at) => (
          <div class="shelf-row" key={at}>
            <Words
              label={`Fibre ${at + 1}`}
              quiet
              value={one.fibre}
              onValue={(fibre) => blend(fibres.map((it, n) => (n === at ? { ...it, fibre } : it)))}
            />
            <Quantity
              label={`Share of fibre ${at + 1}`}
              quiet
              field={{ kind: "percent", max: 100 }}
              value={one.pct}
              onValue={(pct) => {
                if (pct !== null) blend(fibres.map((it, n) => (n === at ? { ...it, pct } : it)));
              }}
              show={(pct) => `${pct}\u202f%`}
            />
            <button
              type="button"
              class="quiet-button"
              disabled={fibres.length === 1}
              onClick={() => blend(fibres.filter((_, n) => n !== at))}
            >
              <span>
                Without<span class="unseen">{` fibre ${at + 1}`}</span>
              </span>
            </button>
          </div>
        ))}
        {wrong !== null && <p class="stocks-warning">{`${wrong} It is kept once it adds up.`}</p>}
        <button
          type="button"
          class="quiet-button"
          onClick={() => {
            const sum = fibres.reduce((all, { pct }) => all + pct, 0);
            const pct = Math.max(1, Math.round((100 - sum) * 100) / 100);
            blend([...fibres, { fibre: "nylon", pct }]);
          }}
        >
          One more fibre
        </button>
      </fieldset>
      <fieldset class="shelf-rows">
        <legend class="blank-label">Flecks of another colour</legend>
        {base.flecks.map((fleck, at) => {
          const fleckPut = (next: Partial<typeof fleck>) =>
            put({
              ...base,
              flecks: base.flecks.map((one, n) => (n === at ? { ...one, ...next } : one)),
            });
          return (
            <div class="shelf-row" key={at}>
              <Words
                label={`Fleck ${at + 1}`}
                value={fleck.name}
                onValue={(name) => {
                  if (name.trim() !== "") fleckPut({ name });
                }}
              />
              <ColourField label="Colour" hex={fleck.hex} onHex={(hex) => fleckPut({ hex })} />
              <Tick
                label="takes dye"
                value={fleck.takesDye === true}
                onValue={(takesDye) => fleckPut({ takesDye })}
              />
              <button
                type="button"
                class="quiet-button"
                onClick={() => put({ ...base, flecks: base.flecks.filter((_, n) => n !== at) })}
              >
                <span>
                  Without<span class="unseen">{` fleck ${at + 1}`}</span>
                </span>
              </button>
            </div>
          );
        })}
        <button
          type="button"
          class="quiet-button"
          onClick={() =>
            put({ ...base, flecks: [...base.flecks, { name: "peat", hex: "#5a4632" }] })
          }
        >
          Add a fleck
        </button>
      </fieldset>
    </ItemEditor>
  );
}
