import { useState } from "preact/hooks";
import { uptakeOf } from "../../shared/dye/fibre.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { fibresProblem, type ShelfBase } from "../../shared/shelf/shelf.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Tick } from "../form/Tick.tsx";
import { Words } from "../form/Words.tsx";
import { ColourEditor } from "../swatch/ColourEditor.tsx";
import { type ColourDraft, colourDraft, seenOf } from "../swatch/form.ts";
import { hexOfSeen } from "../swatch/known.ts";
import { ColourField } from "./ColourField.tsx";
import { useDraft, withWord } from "./draft.ts";
import { ItemEditor } from "./ItemEditor.tsx";
import { sayFibres } from "./shelving.ts";

/** What a {@link BaseEditor} is told; a yarn that is not `there` is only begun. */
export interface BaseEditorProps {
  base: ShelfBase;
  there: boolean;
  onDone: () => void;
}

const UPTAKE = {
  takes: "takes acid dye",
  slow: "takes acid dye slowly",
  none: "takes no acid dye",
  unknown: "taken to take acid dye",
} as const;

/** A yarn: its fibres, ply and finish, and the colour that it has before it is dyed. */
export function BaseEditor({ base: onShelf, there, onDone }: BaseEditorProps) {
  const draft = useDraft(onShelf);
  const { value: base, put, set } = draft;
  const { fibres, flecks } = base;
  const fibre = (at: number, next: Partial<ShelfBase["fibres"][number]>) =>
    put({ fibres: fibres.map((one, n) => (n === at ? { ...one, ...next } : one)) });
  const fleck = (at: number, next: Partial<ShelfBase["flecks"][number]>) =>
    put({ flecks: flecks.map((one, n) => (n === at ? { ...one, ...next } : one)) });
  return (
    <ItemEditor
      item={{ part: "bases", item: base }}
      draft={{ changed: draft.changed, settle: () => draft.settle(base) }}
      there={there}
      onDone={onDone}
    >
      <div class="editor-fields">
        <div class="shelf-wide">
          <Words label="Name" value={base.name} onValue={(name) => put({ name })} />
        </div>
        <Words
          label="Ply"
          value={base.ply ?? ""}
          onValue={(ply) => set(withWord(base, "ply", ply))}
        />
        <Tick
          label="Superwash"
          value={base.superwash}
          onValue={(superwash) => put({ superwash })}
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
              onValue={(name) => fibre(at, { fibre: name })}
              hint={one.fibre.trim() === "" ? "" : UPTAKE[uptakeOf(one.fibre)]}
            />
            <Quantity
              label={`Share of fibre ${at + 1}`}
              quiet
              field={{ kind: "percent", max: 100 }}
              value={one.pct}
              onValue={(pct) => {
                if (pct !== null) fibre(at, { pct });
              }}
              show={(pct) => `${pct}\u202f%`}
            />
            <button
              type="button"
              class="quiet-button"
              disabled={fibres.length === 1}
              onClick={() => put({ fibres: fibres.filter((_, n) => n !== at) })}
            >
              <span>
                Without<span class="unseen">{` fibre ${at + 1}`}</span>
              </span>
            </button>
          </div>
        ))}
        <p
          class="shelf-sum figures"
          data-wrong={fibresProblem({ name: base.name, fibres }) !== null}
          aria-live="polite"
        >
          {sayFibres(fibres)}
        </p>
        <div class="prepare-ways">
          <button
            type="button"
            class="quiet-button"
            disabled={fibres.length >= 20}
            onClick={() => {
              const sum = fibres.reduce((all, { pct }) => all + pct, 0);
              const pct = Math.max(1, Math.round((100 - sum) * 100) / 100);
              put({ fibres: [...fibres, { fibre: "nylon", pct }] });
            }}
          >
            One more fibre
          </button>
        </div>
      </fieldset>
      <Natural key={onShelf.id} base={base} onBase={set} />
      <fieldset class="shelf-rows">
        <legend class="blank-label">Flecks of another colour</legend>
        {flecks.map((one, at) => (
          <div class="shelf-row shelf-fleck" key={at}>
            <Words
              label={`Fleck ${at + 1}`}
              value={one.name}
              onValue={(name) => fleck(at, { name })}
            />
            <ColourField label="Colour" hex={one.hex} onHex={(hex) => fleck(at, { hex })} />
            <Tick
              label="Takes dye"
              value={one.takesDye === true}
              onValue={(takesDye) => fleck(at, { takesDye })}
            />
            <button
              type="button"
              class="quiet-button"
              onClick={() => put({ flecks: flecks.filter((_, n) => n !== at) })}
            >
              <span>
                Without<span class="unseen">{` fleck ${at + 1}`}</span>
              </span>
            </button>
          </div>
        ))}
        <div class="prepare-ways">
          <button
            type="button"
            class="quiet-button"
            disabled={flecks.length >= 20}
            onClick={() => put({ flecks: [...flecks, { name: "peat", hex: "#5a4632" }] })}
          >
            Add a fleck
          </button>
        </div>
      </fieldset>
    </ItemEditor>
  );
}

/** The colour of the yarn before it is dyed, by eye or as surely as a swatch. */
function Natural({ base, onBase }: { base: ShelfBase; onBase: (base: ShelfBase) => void }) {
  const [told, setTold] = useState<ColourDraft>(() =>
    base.seen
      ? colourDraft(base.seen, base.hex)
      : colourDraft({ how: "typed", hex: base.hex }, base.hex),
  );
  return (
    <ColourEditor
      label="Its own colour, undyed or as it enters"
      draft={told}
      undyedHex={base.hex}
      onDraft={(next) => {
        setTold(next);
        const seen = seenOf(next);
        if (refused(seen)) return;
        const { seen: _, ...rest } = base;
        onBase(
          seen.how === "typed"
            ? { ...rest, hex: seen.hex }
            : { ...rest, hex: hexOfSeen(seen), seen },
        );
      }}
    />
  );
}
