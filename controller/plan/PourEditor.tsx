import { useId, useState } from "preact/hooks";
import type { PlanStep, PourStep } from "../../shared/plan/plan.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Select } from "../form/Select.tsx";
import { Words } from "../form/Words.tsx";
import { amountText, readAmount } from "./amount.ts";
import { overText, readOver } from "./over.ts";
import { TECHNIQUES } from "./say.ts";
import type { Table } from "./table.ts";

/** What a {@link PourEditor} is told. */
export interface PourEditorProps {
  table: Table;
  step: PourStep;
  put: (step: PlanStep) => void;
}

/** A pour: from which bottle, how much, over what, and how it meets the yarn. */
export function PourEditor({ table, step, put }: PourEditorProps) {
  const { plan, shelf } = table;
  const { pour } = step;
  const change = (next: Partial<PourStep["pour"]>) => put({ ...step, pour: { ...pour, ...next } });
  const source = pour.source.from === "stock" ? `s ${pour.source.stock}` : `d ${pour.source.dye}`;
  const inPan = plan.skeins.filter((skein) => skein.pan === pour.pan);
  const isOver = (id: string) => pour.over === "all" || pour.over.some(({ skein }) => skein === id);
  return (
    <div class="editor-fields">
      <Select
        label="From"
        options={[
          ...shelf.stocks
            .filter(({ id, retired }) => !retired || source === `s ${id}`)
            .map(({ id, name }) => ({ value: `s ${id}`, label: name })),
          ...shelf.dyes
            .filter(({ id, retired }) => !retired || source === `d ${id}`)
            .map(({ id, name }) => ({ value: `d ${id}`, label: `${name} powder` })),
        ]}
        value={source}
        onValue={(value) => {
          const id = value.slice(2);
          const powder = value.startsWith("d ");
          const fits = powder === (pour.amount.by === "mass");
          change({
            source: powder ? { from: "powder", dye: id } : { from: "stock", stock: id },
            ...(fits
              ? {}
              : powder
                ? {
                    amount: { by: "mass", massUg: 500_000, how: "measured", plusMinusUg: 0 },
                    technique: "speckled",
                    coverage: 0.25,
                  }
                : {
                    amount: { by: "volume", volumeUl: 10_000, how: "measured", plusMinusUl: 0 },
                  }),
          });
        }}
      />
      <Typed
        label="How much"
        text={amountText(pour.amount)}
        read={(text) => {
          const read = readAmount(text, pour.source.from === "powder", shelf);
          if (read.ok) return { say: read.understood, take: () => change({ amount: read.amount }) };
          return {
            say: "ask" in read ? `${read.ask} ${read.readings.join(" or ")}?` : read.say,
          };
        }}
      />
      <Select
        label="Into pan"
        options={plan.pans.map(({ id, name }) => ({ value: id, label: name }))}
        value={pour.pan}
        onValue={(pan) => change({ pan, over: "all" })}
      />
      <fieldset class="editor-over">
        <legend class="blank-label">Over</legend>
        <div class="editor-chips">
          <button
            type="button"
            class="chip"
            aria-pressed={pour.over === "all"}
            onClick={() => change({ over: "all" })}
          >
            all in the pan
          </button>
          {inPan.map(({ id, name }) => (
            <button
              key={id}
              type="button"
              class="chip"
              aria-pressed={pour.over !== "all" && isOver(id)}
              onClick={() => {
                const now = pour.over === "all" ? [] : pour.over;
                const without = now.filter(({ skein }) => skein !== id);
                const next =
                  without.length < now.length ? without : [...now, { skein: id, parts: null }];
                change({
                  over:
                    next.length === 0 ? "all" : next.map(({ skein }) => ({ skein, parts: null })),
                });
              }}
            >
              <bdi>{name}</bdi>
            </button>
          ))}
        </div>
      </fieldset>
      {pour.over !== "all" && pour.over.length > 1 && (
        <Typed
          label="Shared by weight, or in parts such as 3:2, 4:1"
          text={overText(pour.over, plan)}
          read={(text) => {
            const read = readOver(text, plan, pour.pan);
            return "say" in read
              ? { say: read.say }
              : { say: overText(read.over, plan), take: () => change({ over: read.over }) };
          }}
        />
      )}
      <Select
        label="Technique"
        options={TECHNIQUES}
        value={pour.technique}
        onValue={(technique) =>
          change({
            technique,
            coverage:
              technique === "immersion" || technique === "lowWater"
                ? 1
                : pour.coverage === 1
                  ? 0.35
                  : pour.coverage,
          })
        }
      />
      <Quantity
        label="Touches of each skein"
        field={{ kind: "percent", max: 100 }}
        value={pour.coverage * 100}
        onValue={(pct) => {
          if (pct !== null && pct >= 0.1) change({ coverage: pct / 100 });
        }}
        show={(pct) => `${Math.round(pct * 10) / 10}\u202f%`}
      />
      <Words
        label="A word on where it goes"
        value={pour.placement ?? ""}
        onValue={(text) => {
          const { placement: _, ...rest } = pour;
          put({ ...step, pour: text === "" ? rest : { ...rest, placement: text } });
        }}
        most={200}
      />
    </div>
  );
}

type TypedProps = {
  label: string;
  text: string;
  read: (text: string) => { say: string; take?: () => void };
};

/** A field whose text is taken once it is understood and left, or Enter is pressed. */
function Typed({ label, text, read }: TypedProps) {
  const [typed, setTyped] = useState<string | null>(null);
  const id = useId();
  const found = typed === null ? null : read(typed);
  const take = () => {
    if (found?.take) {
      found.take();
      setTyped(null);
    }
  };
  return (
    <div class="blank" data-wrong={found !== null && !found.take}>
      <label class="blank-label" for={id}>
        {label}
      </label>
      <input
        id={id}
        aria-describedby={`${id}-says`}
        class="blank-box figures"
        type="text"
        autocomplete="off"
        value={typed ?? text}
        aria-invalid={found !== null && !found.take}
        onInput={(event) => setTyped(event.currentTarget.value)}
        onKeyDown={(event) => {
          if (event.key === "Enter") take();
          if (event.key === "Escape") setTyped(null);
        }}
        onBlur={take}
      />
      <p class="blank-says" id={`${id}-says`}>
        {found?.say}
      </p>
    </div>
  );
}
