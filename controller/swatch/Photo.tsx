import { useEffect, useRef, useState } from "preact/hooks";
import type { Picture, Sample } from "../../shared/colour/picture.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { type OpenPicture, openPicture } from "../picture/open.ts";
import { patchOf } from "./frame.ts";
import { type Frames, Marking } from "./Marking.tsx";
import { StillOf } from "./StillOf.tsx";

const placed: Frames = {
  card: { x: 0.06, y: 0.06, width: 0.16, height: 0.16 },
  yarn: { x: 0.42, y: 0.42, width: 0.16, height: 0.16 },
};

/** A photograph of a yarn and a white card, and the colour of the one by the other. */
export function Photo(props: {
  onSample: (sample: Sample | null) => void;
  /** Told of the photograph itself once it is open, at most 1,600 px on a side. */
  onPicture?: ((pixels: Picture) => void) | undefined;
}) {
  const { onSample, onPicture } = props;
  const [picture, setPicture] = useState<OpenPicture | null>(null);
  const [frames, setFrames] = useState<Frames>(placed);
  const [said, setSaid] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const turn = useRef(0);
  useEffect(() => () => picture?.close(), [picture]);

  const open = async (file: Blob | undefined | null) => {
    if (!file) return;
    turn.current += 1;
    const mine = turn.current;
    setBusy(true);
    setSaid(null);
    const opened = await openPicture(file);
    // Another picture was chosen meanwhile.
    if (mine !== turn.current) {
      if (!refused(opened)) opened.close();
      return;
    }
    setBusy(false);
    if (refused(opened)) {
      setSaid(opened.say);
      return;
    }
    setPicture(opened);
    onPicture?.(opened.pixels);
    setFrames(placed);
    onSample(null);
    setSaid("Lay one frame on the white card and the other on the yarn.");
  };
  useEffect(() => {
    const onPaste = (event: ClipboardEvent) => {
      const file = Array.from(event.clipboardData?.files ?? []).find(({ type }) =>
        type.startsWith("image/"),
      );
      if (file) void open(file);
    };
    document.addEventListener("paste", onPaste);
    return () => {
      document.removeEventListener("paste", onPaste);
      turn.current += 1;
    };
  }, []);

  const sample = async (marked: Frames) => {
    if (!picture) return;
    turn.current += 1;
    const mine = turn.current;
    // Whoever taps an arrow again and again is asked for once: each sample decodes the whole picture.
    await new Promise((resolve) => setTimeout(resolve, SETTLED_MS));
    if (mine !== turn.current) return;
    const answer = await picture.sample(
      patchOf(marked.yarn, picture),
      patchOf(marked.card, picture),
    );
    if (mine !== turn.current) return;
    if (refused(answer)) {
      onSample(null);
      setSaid(answer.say);
      return;
    }
    onSample(answer);
    setSaid(
      answer.spread > UNEVEN
        ? `The marked yarn is uneven, ${answer.spread.toFixed(1)} CIEDE2000 within itself: mark a flatter piece, or know it so much less.`
        : `The marked yarn is even to ${answer.spread.toFixed(1)} CIEDE2000.`,
    );
  };
  return (
    <section
      class="swatch-photo"
      aria-label="Photograph"
      onDragOver={(event) => event.preventDefault()}
      onDrop={(event) => {
        event.preventDefault();
        void open(event.dataTransfer?.files[0]);
      }}
    >
      <div class="prepare-ways">
        <label class="quiet-button shelf-file">
          {busy ? "Opening …" : picture ? "Another photograph" : "Choose a photograph"}
          <input
            class="unseen"
            type="file"
            accept="image/*"
            onChange={(event) => {
              void open(event.currentTarget.files?.[0]);
              event.currentTarget.value = "";
            }}
          />
        </label>
        <StillOf onStill={(blob) => void open(blob)} onRefused={setSaid} />
        {!picture && <span class="shelf-note">or paste it, or drop it here</span>}
      </div>
      {picture && (
        <Marking
          pixels={picture.pixels}
          frames={frames}
          onFrames={setFrames}
          onSettled={(marked) => void sample(marked)}
        />
      )}
      <p class="swatch-photo-said" role="status">
        {said}
      </p>
    </section>
  );
}

/** A frame that rests this long stands where it is meant to, ms. */
const SETTLED_MS = 200;

/** A patch that strays further than this from itself is not one colour, CIEDE2000; no source. */
const UNEVEN = 4;
