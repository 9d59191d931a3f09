import "./swatch.css";
import { useState } from "preact/hooks";
import { calibrate } from "../../shared/colour/swatch.ts";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { showDepth } from "../../shared/dye/display.ts";
import { refused } from "../../shared/dye/refusal.ts";
import type { Id } from "../../shared/session/setup.ts";
import { dyeOnBench } from "../../shared/shelf/onBench.ts";
import type { Shelf, ShelfDye, ShelfSwatch } from "../../shared/shelf/shelf.ts";
import { newId } from "../link/id.ts";
import { usePreparation } from "../prepare/context.tsx";
import { swatchDraft } from "./form.ts";
import { calibrated, hexOfSeen, sayHow, swatchesOf } from "./known.ts";
import { Ladder } from "./Ladder.tsx";
import { SwatchEditor } from "./SwatchEditor.tsx";

/** A dye's swatches: how well they tell its colour, how it builds, and each of them. */
export function Swatches({ shelf, dye }: { shelf: Shelf; dye: ShelfDye }) {
  const [open, setOpen] = useState<Id | null>(null);
  const [gone, setGone] = useState(false);
  const used = swatchesOf(shelf, dye.id);
  const away = shelf.swatches.filter((one) => one.dye === dye.id && one.retired);
  const known = calibrated(shelf, dye);
  const answer = calibrate(dyeOnBench(shelf, dye).swatches ?? []);
  const remarks = used.length === 0 ? [] : refused(answer) ? [] : answer.remarks;
  const sayOf = (at: number) => remarks.filter(({ swatch }) => swatch === at).map(({ say }) => say);
  // A swatch whose yarn left the shelf is no longer calibrated, and has no place in the order.
  const order = used.filter(({ base }) => shelf.bases.some(({ id }) => id === base));
  const canAdd = shelf.bases.some(({ retired }) => !retired);
  return (
    <section class="swatches" aria-labelledby="swatches-title">
      <h3 id="swatches-title">Swatches</h3>
      <p class="swatch-known">
        {used.length === 0 && "No swatch yet: its colour is the one that was typed with it. "}
        {known
          ? used.length === 0
            ? `${capital(known.known)} known, to about ${known.uncertainty.toFixed(1)} CIEDE2000.`
            : known.say
          : "Its colour cannot be read."}
      </p>
      {known && <Ladder shelf={shelf} dye={dye} />}
      <ul class="swatch-list">
        {used.map((swatch) => (
          <li key={swatch.id}>
            {open === swatch.id ? (
              <SwatchEditor
                shelf={shelf}
                dye={dye}
                begun={swatchDraft(swatch.id, swatch.base, swatch)}
                onDone={() => setOpen(null)}
              />
            ) : (
              <Line
                shelf={shelf}
                swatch={swatch}
                says={sayOf(order.indexOf(swatch))}
                onOpen={() => setOpen(swatch.id)}
              />
            )}
          </li>
        ))}
        {gone &&
          away.map((swatch) => (
            <li key={swatch.id} data-retired="true">
              <Line shelf={shelf} swatch={swatch} says={[]} />
            </li>
          ))}
      </ul>
      {open === NEW ? (
        <SwatchEditor
          shelf={shelf}
          dye={dye}
          begun={swatchDraft(newId(), used.at(-1)?.base ?? firstBase(shelf))}
          onDone={() => setOpen(null)}
        />
      ) : (
        <div class="prepare-ways">
          <button
            type="button"
            class="quiet-button"
            disabled={!canAdd}
            onClick={() => setOpen(NEW)}
          >
            Add a swatch
          </button>
          {away.length > 0 && (
            <button type="button" class="quiet-button" onClick={() => setGone(!gone)}>
              {gone ? "Hide those out of use" : `Show ${away.length} out of use`}
            </button>
          )}
          {!canAdd && (
            <p class="shelf-note">A swatch is dyed on a yarn: put one on the shelf first.</p>
          )}
        </div>
      )}
    </section>
  );
}

/** Stands for a swatch that is only begun. */
const NEW = "new";

function firstBase(shelf: Shelf): Id | null {
  return shelf.bases.find(({ retired }) => !retired)?.id ?? null;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** One swatch: as it was seen, and what has to be known about it. */
function Line(props: {
  shelf: Shelf;
  swatch: ShelfSwatch;
  says: readonly string[];
  onOpen?: () => void;
}) {
  const { shelf, swatch, says, onOpen } = props;
  const { change } = usePreparation();
  const base = shelf.bases.find(({ id }) => id === swatch.base);
  const { id, retired } = swatch;
  const name = `${showDepth(swatch.depthPct)} on ${base?.name ?? "a yarn that is gone"}`;
  return (
    <div class="swatch-line">
      <DippedStrip
        dyedHex={hexOfSeen(swatch.seen)}
        undyedHex={base?.hex ?? "#f3ecdf"}
        width={28}
        height={56}
        seed={id}
      />
      <div class="shelf-words">
        <b>
          <bdi>{name}</bdi>
        </b>
        <span class="shelf-note">
          {[sayHow(swatch.seen), swatch.madeOn, swatch.note].filter(Boolean).join(", ")}
        </span>
        {says.map((say) => (
          <span key={say} class="shelf-warning">
            {say}
          </span>
        ))}
      </div>
      <div class="prepare-ways">
        {onOpen && (
          <button type="button" class="quiet-button" onClick={onOpen}>
            <span>
              Change<span class="unseen">{` the swatch at ${name}`}</span>
            </span>
          </button>
        )}
        <button
          type="button"
          class="quiet-button"
          onClick={() => void change({ change: "retire", part: "swatches", id, out: !retired })}
        >
          <span>
            {retired ? "Back into use" : "Out of use"}
            <span class="unseen">{` for the swatch at ${name}`}</span>
          </span>
        </button>
      </div>
    </div>
  );
}
