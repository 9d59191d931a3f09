import "./stocks.css";
import { useEffect, useRef, useState } from "preact/hooks";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { GraduatedRule } from "../../shared/draw/GraduatedRule.tsx";
import { showStrength, showVolume } from "../../shared/dye/display.ts";
import { strengthPct } from "../../shared/dye/strength.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { Shelf, ShelfStock } from "../../shared/shelf/shelf.ts";
import { usePreparation } from "../prepare/context.tsx";
import { today } from "../prepare/today.ts";
import { Bottle } from "./Bottle.tsx";
import { daysOld, stockHex } from "./bottle.ts";
import { Dilute } from "./Dilute.tsx";
import { Labels } from "./Labels.tsx";
import { MakeUp } from "./MakeUp.tsx";

type Doing = { what: "make" | "dilute" | "labels" } | { what: "bottle"; id: Id } | null;

/** The bottles of stock solution: making them up, diluting, and what is done to each. */
export function Stocks() {
  const { prepared } = usePreparation();
  const [doing, setDoing] = useState<Doing>(null);
  const [gone, setGone] = useState(false);
  const side = useRef<HTMLElement>(null);
  const inHand = doing?.what === "bottle" ? doing.id : doing?.what;
  useEffect(() => {
    // On a narrow screen what is in hand stands above the list, perhaps out of sight.
    if (inHand !== undefined) side.current?.scrollIntoView({ block: "nearest" });
  }, [inHand]);
  if (prepared === null) return null;
  const { shelf } = prepared;
  const bottles = shelf.stocks.filter(({ retired }) => gone || !retired);
  const away = shelf.stocks.filter(({ retired }) => retired).length;
  const chosen = doing?.what === "bottle" ? shelf.stocks.find(({ id }) => id === doing.id) : null;
  if (doing?.what === "labels") return <Labels shelf={shelf} onDone={() => setDoing(null)} />;
  return (
    <div class="stocks">
      <div class="stocks-list">
        <div class="prepare-ways">
          <button type="button" class="green-button" onClick={() => setDoing({ what: "make" })}>
            Make up a stock
          </button>
          <button
            type="button"
            class="quiet-button"
            disabled={shelf.stocks.length === 0}
            onClick={() => setDoing({ what: "dilute" })}
          >
            Dilute
          </button>
          <button
            type="button"
            class="quiet-button"
            disabled={shelf.stocks.length === 0}
            onClick={() => setDoing({ what: "labels" })}
          >
            Bottle labels
          </button>
        </div>
        {bottles.length === 0 && (
          <p class="stocks-lead">
            No bottles yet. A stock solution is so many grams of dye in so much water: 1 g in 100 mL
            is 1 %. Pours are measured from it, and its label says what it is.
          </p>
        )}
        <ul class="stocks-bottles">
          {bottles.map((stock) => (
            <li key={stock.id}>
              <button
                type="button"
                class="stocks-bottle"
                aria-pressed={chosen?.id === stock.id}
                data-retired={stock.retired}
                onClick={() => setDoing({ what: "bottle", id: stock.id })}
              >
                <Line shelf={shelf} stock={stock} />
              </button>
            </li>
          ))}
        </ul>
        {away > 0 && (
          <button type="button" class="quiet-button" onClick={() => setGone(!gone)}>
            {gone ? "Hide bottles out of use" : `Show ${away} out of use`}
          </button>
        )}
      </div>
      <aside ref={side} class="stocks-side" aria-label="What is in hand">
        {doing?.what === "make" && <MakeUp shelf={shelf} onDone={() => setDoing(null)} />}
        {doing?.what === "dilute" && <Dilute shelf={shelf} onDone={() => setDoing(null)} />}
        {chosen && (
          <Bottle key={chosen.id} shelf={shelf} stock={chosen} onDone={() => setDoing(null)} />
        )}
        {doing === null && bottles.length > 0 && (
          <p class="stocks-lead">
            Tap a bottle to top it up, tip some out, note a spill, or set right what it holds.
          </p>
        )}
      </aside>
    </div>
  );
}

function Line({ shelf, stock }: { shelf: Shelf; stock: ShelfStock }) {
  const pct = stock.volumeUl > 0 ? strengthPct(totalUg(stock.dyes), stock.volumeUl) : 0;
  const days = daysOld(stock, today());
  return (
    <>
      <DippedStrip
        dyedHex={stockHex(shelf, stock)}
        undyedHex="#f3ecdf"
        width={28}
        height={56}
        seed={stock.id}
      />
      <span class="stocks-words">
        <b>
          <bdi>{stock.name}</bdi>
        </b>
        <span class="stocks-note figures">
          {stock.volumeUl > 0 ? showStrength(pct) : "empty"}
          {stock.toMake && ", still to make up"}
          {stock.retired && ", out of use"}
          {stock.madeOn !== undefined && `, made ${stock.madeOn}`}
          {days !== null && days > 365 && ". More than a year old: test it first."}
        </span>
      </span>
      <GraduatedRule
        volumeUl={Math.max(1_000, stock.volumeUl)}
        pouredUl={stock.volumeUl}
        width={180}
        height={24}
        fillHex={stockHex(shelf, stock)}
        tone="wool"
      />
      <b class="stocks-volume figures">{showVolume(stock.volumeUl)}</b>
    </>
  );
}
