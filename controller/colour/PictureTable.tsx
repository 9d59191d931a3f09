import { useEffect, useRef, useState } from "preact/hooks";
import { MOST_COLOURS, type Picture } from "../../shared/colour/picture.ts";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { THIN_SPACE } from "../../shared/dye/display.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { newId } from "../link/id.ts";
import { openPicture } from "../picture/open.ts";
import { hexAt, type Spot } from "../picture/spot.ts";
import { lasting } from "./lasting.ts";
import { type Dip, Print } from "./Print.tsx";

const usePixels = lasting<Picture | null>(null);
const useDips = lasting<readonly Dip[]>([]);
const useChosen = lasting<string | null>(null);

const MIDDLE: Spot = { x: 0.5, y: 0.5 };

/** A picture, what it is made of, and marks on it that can be dragged. It stays on the machine. */
export function PictureTable(props: {
  target: string;
  undyedHex: string;
  onTarget: (hex: string) => void;
}) {
  const { target, undyedHex, onTarget } = props;
  const [pixels, setPixels] = usePixels();
  const [dips, setDips] = useDips();
  const [chosen, setChosen] = useChosen();
  const [said, setSaid] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const turn = useRef(0);
  useEffect(
    () => () => {
      turn.current += 1;
    },
    [],
  );
  const choose = ({ id, hex }: Pick<Dip, "id" | "hex">) => {
    setChosen(id);
    onTarget(hex);
  };
  const take = async (file: File | undefined) => {
    if (!file) return;
    turn.current += 1;
    const mine = turn.current;
    setBusy(true);
    setSaid(null);
    const opened = await openPicture(file);
    const palette = refused(opened) ? opened : await opened.palette();
    if (!refused(opened)) opened.close();
    // Another picture was chosen meanwhile.
    if (mine !== turn.current) return;
    setBusy(false);
    if (refused(opened) || refused(palette)) {
      setSaid(refused(opened) ? opened.say : refused(palette) ? palette.say : null);
      return;
    }
    const found = palette.map(({ colour: { hex, share }, spot }) => ({
      id: newId(),
      hex,
      spot,
      share,
    }));
    setPixels(opened.pixels);
    setDips(found);
    const [first] = found;
    if (first) choose(first);
  };
  useEffect(() => {
    const onPaste = (event: ClipboardEvent) => {
      const files = Array.from(event.clipboardData?.files ?? []);
      void take(files.find(({ type }) => type.startsWith("image/")));
    };
    document.addEventListener("paste", onPaste);
    return () => document.removeEventListener("paste", onPaste);
  }, []);
  const put = (id: string, spot: Spot) => {
    const hex = pixels && hexAt(pixels, spot);
    if (!hex) return;
    setDips(dips.map((one) => (one.id === id ? { id, hex, spot, share: null } : one)));
    choose({ id, hex });
  };
  const add = (spot: Spot) => {
    const hex = pixels && hexAt(pixels, spot);
    if (!hex) return;
    if (dips.length >= MOST_COLOURS) {
      setSaid(`A palette has up to ${MOST_COLOURS} colours. Take one away first.`);
      return;
    }
    const dip = { id: newId(), hex, spot, share: null };
    setDips([...dips, dip]);
    setSaid(null);
    choose(dip);
  };
  // A colour typed meanwhile is none of the palette's.
  const inHand = dips.findIndex(({ id, hex }) => id === chosen && hex === target);
  return (
    <section
      class="colour-picture"
      aria-label="Palette of a picture"
      data-empty={pixels === null}
      onDragOver={(event) => event.preventDefault()}
      onDrop={(event) => {
        event.preventDefault();
        void take(event.dataTransfer?.files[0]);
      }}
    >
      {pixels === null && (
        <p class="colour-lead">
          A picture of a shore, a roof, a leaf: the colours that it is made of come out as dipped
          strips. Tap one to find the recipes for it. The picture stays on this machine.
        </p>
      )}
      {pixels !== null && (
        <Print pixels={pixels} dips={dips} inHand={inHand} onMove={put} onAdd={add} />
      )}
      <div role="status">{said !== null && <p class="colour-warning">{said}</p>}</div>
      {pixels !== null && (
        <>
          <ul class="colour-palette">
            {dips.map((dip, n) => (
              <li key={dip.id}>
                <button
                  type="button"
                  class="colour-dip"
                  aria-pressed={n === inHand}
                  onClick={() => choose(dip)}
                >
                  <DippedStrip
                    dyedHex={dip.hex}
                    undyedHex={undyedHex}
                    width={34}
                    height={72}
                    seed={dip.id}
                  />
                  <span>
                    <span class="unseen">{`Colour ${dip.hex}, number `}</span>
                    <b class="figures">{n + 1}</b>{" "}
                    <span class="colour-quiet figures">{sayShare(dip)}</span>
                  </span>
                </button>
              </li>
            ))}
          </ul>
          <p class="colour-quiet">
            Tap the picture to add a colour. Drag a mark to adjust it, or move it with the arrow
            keys.
          </p>
        </>
      )}
      <div class="prepare-ways">
        <label class="quiet-button shelf-file">
          {busy ? "Opening …" : pixels === null ? "Choose a picture" : "Another picture"}
          <input
            class="unseen"
            type="file"
            accept="image/*"
            onChange={(event) => {
              void take(event.currentTarget.files?.[0]);
              event.currentTarget.value = "";
            }}
          />
        </label>
        {pixels === null ? (
          <span class="colour-quiet">or paste it, or drop it here</span>
        ) : (
          <>
            <button type="button" class="quiet-button" onClick={() => add(MIDDLE)}>
              Add a colour
            </button>
            {inHand >= 0 && (
              <button
                type="button"
                class="quiet-button"
                onClick={() => {
                  setDips(dips.filter((_, n) => n !== inHand));
                  setSaid(null);
                }}
              >
                Take away colour {inHand + 1}
              </button>
            )}
          </>
        )}
      </div>
    </section>
  );
}

function sayShare({ share }: Dip): string {
  if (share === null) return "picked";
  const pct = Math.round(share * 100);
  return pct === 0 ? `under 1${THIN_SPACE}%` : `${pct}${THIN_SPACE}%`;
}
