import "./swatch.css";
import { useId, useState } from "preact/hooks";
import type { Picture } from "../../shared/colour/picture.ts";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { refused } from "../../shared/dye/refusal.ts";
import { ColourField } from "../shelf/ColourField.tsx";
import { type ColourDraft, readSigned, reflectanceIn, seenOf, WAYS, type Way } from "./form.ts";
import { hexOfSeen, sayHow } from "./known.ts";
import { Photo } from "./Photo.tsx";

const LABEL: Readonly<Record<Way, string>> = {
  measured: "Measured, L*a*b*",
  spectrum: "Reflectance file",
  photographed: "From a photograph",
  typed: "By eye",
};

const LEAD: Readonly<Record<Way, string>> = {
  measured: "As the instrument shows it: CIELAB under D65, for the 2° observer.",
  spectrum:
    "A text file with a wavelength and a reflectance on each line, 400 to 700 nm, every 20 nm or closer. The best there is.",
  photographed:
    "Yarn and a white card side by side in the same even light. Worth 3 CIEDE2000 at best.",
  typed: "A screen colour, held against the yarn in daylight. The least sure of all.",
};

/** What a {@link ColourEditor} is told. */
export interface ColourEditorProps {
  label: string;
  draft: ColourDraft;
  undyedHex: string;
  onDraft: (draft: ColourDraft) => void;
  /** Told of a photograph that was opened, where it may be kept. */
  onPicture?: ((pixels: Picture) => void) | undefined;
}

/** A colour in one of the ways in which it can be known. */
export function ColourEditor(props: ColourEditorProps) {
  const { label, draft, undyedHex, onDraft, onPicture } = props;
  const seen = seenOf(draft);
  const { how } = draft;
  return (
    <fieldset class="swatch-colour">
      <legend class="blank-label">{label}</legend>
      <div class="swatch-ways">
        {WAYS.map((way) => (
          <button
            key={way}
            type="button"
            class="chip"
            aria-pressed={how === way}
            onClick={() => onDraft({ ...draft, how: way })}
          >
            {LABEL[way]}
          </button>
        ))}
      </div>
      <p class="shelf-note">
        {LEAD[how]}
        {how === "photographed" && onPicture === undefined && " The picture stays on this tablet."}
      </p>
      {how === "measured" && <LabFields draft={draft} onDraft={onDraft} />}
      {how === "spectrum" && <Reflectance draft={draft} onDraft={onDraft} />}
      {how === "typed" && (
        <ColourField label="Colour" hex={draft.hex} onHex={(hex) => onDraft({ ...draft, hex })} />
      )}
      {how === "photographed" && (
        <Photo onSample={(sample) => onDraft({ ...draft, sample })} onPicture={onPicture} />
      )}
      <div class="swatch-result" role="status">
        {refused(seen) ? (
          <p class="shelf-note">{seen.say}</p>
        ) : (
          <>
            <DippedStrip
              dyedHex={hexOfSeen(seen)}
              undyedHex={undyedHex}
              width={36}
              height={72}
              seed="told"
            />
            <p>
              <b class="figures">{hexOfSeen(seen)}</b>
              <span class="shelf-note">{`, ${sayHow(seen)}`}</span>
            </p>
          </>
        )}
      </div>
    </fieldset>
  );
}

type PartProps = { draft: ColourDraft; onDraft: (draft: ColourDraft) => void };

function LabFields({ draft, onDraft }: PartProps) {
  const { lab } = draft;
  const put = (next: Partial<ColourDraft["lab"]>) =>
    onDraft({ ...draft, lab: { ...lab, ...next } });
  return (
    <div class="swatch-lab">
      <Signed label="L*" hint="0 black, 100 white" text={lab.l} onText={(l) => put({ l })} />
      <Signed label="a*" hint="− green, + red" text={lab.a} onText={(a) => put({ a })} />
      <Signed label="b*" hint="− blue, + yellow" text={lab.b} onText={(b) => put({ b })} />
    </div>
  );
}

function Signed(props: {
  label: string;
  hint: string;
  text: string;
  onText: (text: string) => void;
}) {
  const { label, hint, text, onText } = props;
  const id = useId();
  const read = text.trim() === "" ? null : readSigned(text, label);
  const wrong = refused(read) ? read.say : null;
  return (
    <div class="blank" data-wrong={wrong !== null}>
      <label class="blank-label" for={id}>
        {label}
      </label>
      <input
        id={id}
        class="blank-box figures"
        type="text"
        autocomplete="off"
        value={text}
        aria-invalid={wrong !== null}
        aria-describedby={`${id}-says`}
        onInput={(event) => onText(event.currentTarget.value)}
      />
      <p class="blank-says" id={`${id}-says`}>
        {wrong ?? hint}
      </p>
    </div>
  );
}

/** A reflectance file is at most so large, bytes. */
const LARGEST = 4_000_000;

function Reflectance({ draft, onDraft }: PartProps) {
  const [said, setSaid] = useState<string | null>(null);
  const open = async (file: File | undefined) => {
    if (!file) return;
    if (file.size > LARGEST) {
      setSaid("This file is too long to be one swatch's reflectance. Nothing was changed.");
      return;
    }
    const bytes = await file.arrayBuffer().catch(() => null);
    const read = bytes && reflectanceIn(new Uint8Array(bytes));
    if (read === null) setSaid("This file could not be read from where it lies. Choose it again.");
    else if (refused(read)) setSaid(`${file.name}: ${read.say}`);
    else {
      setSaid(null);
      onDraft({ ...draft, reflectance: read });
    }
  };
  return (
    <>
      <div class="prepare-ways">
        <label class="quiet-button shelf-file">
          {draft.reflectance ? "Choose another file" : "Choose the file"}
          <input
            class="unseen"
            type="file"
            accept=".txt,.csv,.tsv,text/plain,text/csv"
            onChange={(event) => {
              void open(event.currentTarget.files?.[0]);
              event.currentTarget.value = "";
            }}
          />
        </label>
      </div>
      <div role="alert">{said !== null && <p class="shelf-warning">{said}</p>}</div>
      {draft.reflectance && <Reflected reflectance={draft.reflectance} />}
    </>
  );
}

/** A reflectance from 400 to 700 nm as a line over its scale. */
function Reflected({ reflectance }: { reflectance: readonly number[] }) {
  const last = reflectance.length - 1;
  const points = reflectance
    .map((share, band) => `${(band / last) * 300},${100 - Math.min(1.05, share) * 92}`)
    .join(" ");
  return (
    <svg class="swatch-reflected" viewBox="0 -4 300 124" role="img" aria-label="Its reflectance">
      <path d="M0 100H300M0 8H300" stroke="#cdbfa9" fill="none" />
      {[0, 100, 200, 300].map((x) => (
        <path key={x} d={`M${x} 100v6`} stroke="#1d2125" />
      ))}
      <polyline points={points} fill="none" stroke="#1d2125" stroke-width="2.5" />
      <text x="0" y="119" font-size="13" fill="#5d564a">
        400 nm
      </text>
      <text x="300" y="119" font-size="13" fill="#5d564a" text-anchor="end">
        700 nm
      </text>
    </svg>
  );
}
