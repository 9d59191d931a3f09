import { useState } from "preact/hooks";
import { showMass, showStrength, showVolume } from "../../shared/dye/display.ts";
import { mulDivRound } from "../../shared/dye/mulDiv.ts";
import { strengthPct } from "../../shared/dye/strength.ts";
import { addMasses, totalUg } from "../../shared/dye/vessel.ts";
import type { Shelf, ShelfStock } from "../../shared/shelf/shelf.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Words } from "../form/Words.tsx";
import { usePreparation } from "../prepare/context.tsx";
import { today } from "../prepare/today.ts";
import { lessOf, powderTaken, tooLittle, weighingNotes } from "./bottle.ts";

/** What can be done to one bottle, each kept as what it was. */
export function Bottle(props: { shelf: Shelf; stock: ShelfStock; onDone: () => void }) {
  const { shelf, stock, onDone } = props;
  const { change } = usePreparation();
  const [amountUl, setAmountUl] = useState<number | null>(null);
  const [grossUg, setGrossUg] = useState<number | null>(null);
  const [emptyUg, setEmptyUg] = useState<number | null>(null);
  const [typed, setTyped] = useState<string | null>(null);
  const { name } = stock;
  const put = (item: ShelfStock, because: string) => {
    void change({ change: "shelve", part: "stocks", item, because });
    setAmountUl(null);
  };
  const less = (word: string) => {
    if (amountUl === null) return;
    put(
      lessOf(stock, amountUl),
      `${word} ${showVolume(Math.min(amountUl, stock.volumeUl))} of ${name}`,
    );
  };
  const level = (volumeUl: number) => {
    // The bottle was found to hold this: what is in it keeps its strength.
    const dyes = Object.fromEntries(
      Object.entries(stock.dyes).map(([dye, ug]) => [
        dye,
        stock.volumeUl === 0 ? 0 : mulDivRound(ug, volumeUl, stock.volumeUl),
      ]),
    );
    put({ ...stock, volumeUl, dyes }, `set ${name} right to ${showVolume(volumeUl)}`);
  };
  const more = (): { item: ShelfStock; powder: Record<string, number> } | null => {
    if (amountUl === null || stock.volumeUl === 0) return null;
    const powder = Object.fromEntries(
      Object.entries(stock.dyes).map(([dye, ug]) => [
        dye,
        mulDivRound(ug, amountUl, stock.volumeUl),
      ]),
    );
    const item = {
      ...stock,
      volumeUl: stock.volumeUl + amountUl,
      dyes: addMasses(stock.dyes, powder),
    };
    return { item, powder };
  };
  const topped = more();
  const lacking = topped ? tooLittle(shelf, topped.powder) : [];
  const byWeight =
    grossUg !== null && emptyUg !== null && grossUg >= emptyUg
      ? Math.round((grossUg - emptyUg) / 1_000)
      : null;
  const dyes = Object.entries(stock.dyes);
  return (
    <section class="stocks-form">
      <h2>
        <bdi>{name}</bdi>
      </h2>
      <p class="figures">
        {`${showVolume(stock.volumeUl)}`}
        {dyes.map(
          ([dye, ug]) =>
            `, ${showMass(ug)} of ${shelf.dyes.find(({ id }) => id === dye)?.name ?? dye}`,
        )}
        {stock.volumeUl > 0 &&
          ` (${showStrength(strengthPct(totalUg(stock.dyes), stock.volumeUl))})`}
      </p>
      {stock.toMake &&
        tooLittle(shelf, stock.dyes).map((say) => (
          <p key={say} class="stocks-warning">
            {say}
          </p>
        ))}
      {stock.toMake &&
        weighingNotes(shelf, Object.keys(stock.dyes)).map((note) => (
          <p key={note} class="stocks-caution">
            {note}
          </p>
        ))}
      {stock.toMake && (
        <button
          type="button"
          class="green-button"
          onClick={() =>
            void change({
              change: "several",
              changes: [
                {
                  change: "shelve",
                  part: "stocks",
                  item: { ...stock, toMake: false, madeOn: today() },
                },
                ...powderTaken(shelf, stock.dyes),
              ],
              because: `made up ${name}`,
            })
          }
        >
          It is made up now
        </button>
      )}
      <div class="stocks-rename">
        <Words
          label="Name on the bottle"
          value={typed ?? name}
          onValue={setTyped}
          wrong={typed?.trim() === "" ? "It needs a name." : null}
        />
        <button
          type="button"
          class="quiet-button"
          disabled={typed === null || typed.trim() === "" || typed.trim() === name}
          onClick={() => {
            if (typed === null) return;
            put({ ...stock, name: typed.trim() }, `named a bottle ${typed.trim()}`);
            setTyped(null);
          }}
        >
          Rename
        </button>
      </div>
      <h3>So much of it</h3>
      <Quantity
        label="Volume"
        field={{ kind: "volume", max: 100_000_000 }}
        value={amountUl}
        onValue={setAmountUl}
        show={showVolume}
        optional
      />
      {topped !== null && (
        <p class="stocks-weigh figures">
          {`To make so much more of the same, weigh ${Object.entries(topped.powder)
            .map(
              ([dye, ug]) =>
                `${showMass(ug)} of ${shelf.dyes.find(({ id }) => id === dye)?.name ?? dye}`,
            )
            .join(" and ")}.`}
        </p>
      )}
      {lacking.map((say) => (
        <p key={say} class="stocks-warning">
          {say}
        </p>
      ))}
      {topped !== null &&
        weighingNotes(shelf, Object.keys(topped.powder)).map((note) => (
          <p key={note} class="stocks-caution">
            {note}
          </p>
        ))}
      <div class="prepare-ways">
        <button
          type="button"
          class="quiet-button"
          disabled={amountUl === null}
          onClick={() => less("tipped out")}
        >
          Tipped out
        </button>
        <button
          type="button"
          class="quiet-button"
          disabled={amountUl === null}
          onClick={() => less("spilled")}
        >
          Spilled
        </button>
        <button
          type="button"
          class="quiet-button"
          disabled={topped === null}
          onClick={() => {
            if (!topped || amountUl === null) return;
            const because = `made up ${showVolume(amountUl)} more of ${name}`;
            void change({
              change: "several",
              changes: [
                { change: "shelve", part: "stocks", item: { ...topped.item, madeOn: today() } },
                ...powderTaken(shelf, topped.powder),
              ],
              because,
            });
            setAmountUl(null);
          }}
        >
          Made up more
        </button>
        <button
          type="button"
          class="quiet-button"
          disabled={amountUl === null || stock.volumeUl === 0}
          onClick={() => {
            if (amountUl !== null) level(amountUl);
          }}
        >
          Holds so much
        </button>
      </div>
      <h3>Or by its weight</h3>
      <div class="stocks-fields">
        <Quantity
          label="Bottle as it is"
          field={{ kind: "mass", max: 100_000_000_000 }}
          value={grossUg}
          onValue={setGrossUg}
          show={showMass}
          optional
        />
        <Quantity
          label="Empty bottle"
          field={{ kind: "mass", zero: true, max: 100_000_000_000 }}
          value={emptyUg}
          onValue={setEmptyUg}
          show={showMass}
          optional
          hint={byWeight === null ? "1 g counts as 1 mL" : `Holds ${showVolume(byWeight)}`}
        />
      </div>
      <div class="prepare-ways">
        <button
          type="button"
          class="quiet-button"
          disabled={byWeight === null || stock.volumeUl === 0}
          onClick={() => {
            if (byWeight !== null) level(byWeight);
          }}
        >
          Set it right by weight
        </button>
        <button
          type="button"
          class="quiet-button"
          onClick={() =>
            void change({ change: "retire", part: "stocks", id: stock.id, out: !stock.retired })
          }
        >
          {stock.retired ? "Take it back into use" : "Out of use"}
        </button>
        <button type="button" class="quiet-button" onClick={onDone}>
          Done
        </button>
      </div>
    </section>
  );
}
