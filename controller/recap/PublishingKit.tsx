import "./kit.css";
import { useCallback, useEffect, useMemo, useState } from "preact/hooks";
import type { Kit } from "../../shared/recap/kit.ts";
import { saveAs } from "../broadcast/save.ts";
import { CardPreview } from "./CardPreview.tsx";
import { CopyText } from "./CopyText.tsx";
import { cardsIn, othersIn } from "./cards.ts";
import { kitDesk } from "./desk.ts";

/** What a {@link PublishingKit} is told. */
export interface PublishingKitProps {
  token: string;
  session: string;
  onBack: () => void;
}

type Texts = Readonly<Record<string, string>>;

/** Texts that are copied, by the file that they are in. */
const copied = [
  { file: "description.txt", label: "Video description" },
  { file: "captions.vtt", label: "Captions, WebVTT" },
];

/** What is published of a session: cards, texts to copy, listings for a shop, and files. */
export function PublishingKit({ token, session, onBack }: PublishingKitProps) {
  const desk = useMemo(() => kitDesk(token, session), [token, session]);
  const [kit, setKit] = useState<Kit | null>(null);
  const [texts, setTexts] = useState<Texts>({});
  const [said, setSaid] = useState<string | null>(null);
  const read = useCallback(async () => {
    const answer = await desk.kit();
    if (!answer.ok) {
      setSaid(answer.say);
      return;
    }
    setSaid(null);
    setKit(answer.value);
    for (const { file } of copied) {
      if (!answer.value.files.some(({ name }) => name === file)) continue;
      const text = await desk.text(file);
      if (text.ok) setTexts((before) => ({ ...before, [file]: text.value }));
      else setSaid(text.say);
    }
  }, [desk]);
  useEffect(() => {
    void read();
  }, [read]);
  const save = async (file: string) => {
    setSaid(`Making ${file} …`);
    const answer = await desk.blob(file);
    setSaid(answer.ok ? `Saved ${file}.` : answer.say);
    if (answer.ok) saveAs(file, answer.value);
  };
  return (
    <main class="kit">
      <header class="kit-head">
        <button type="button" class="kit-button" onClick={onBack}>
          Back to the sessions
        </button>
        <div>
          <p class="kit-lead">Publishing kit</p>
          <h1>
            <bdi>{kit?.name ?? "The session is being looked up"}</bdi>
          </h1>
          {kit !== null && (
            <p class="kit-lead figures">
              {kit.day}: {kit.counts}
            </p>
          )}
        </div>
      </header>
      <p class="kit-said" role="status">
        {said}
      </p>
      {kit === null && said !== null && (
        <button type="button" class="kit-button" onClick={() => void read()}>
          Try again
        </button>
      )}
      {kit !== null && <Parts kit={kit} texts={texts} desk={desk} onSave={save} />}
    </main>
  );
}

interface PartsProps {
  kit: Kit;
  texts: Texts;
  desk: ReturnType<typeof kitDesk>;
  onSave: (file: string) => void;
}

function Parts({ kit, texts, desk, onSave }: PartsProps) {
  const shown = copied.filter(({ file }) => texts[file] !== undefined);
  return (
    <>
      {!kit.closed && (
        <p class="kit-open">
          This session is not closed. What is written from now on is not in here yet: come back
          after the close.
        </p>
      )}
      <section class="kit-part" aria-labelledby="kit-cards">
        <h2 id="kit-cards">Recap card</h2>
        <div class="kit-cards">
          {cardsIn(kit.files).map((card) => (
            <CardPreview
              key={card.svg}
              card={card}
              label={`Recap card of ${kit.name}`}
              desk={desk}
              onSave={onSave}
            />
          ))}
        </div>
      </section>
      <section class="kit-part" aria-labelledby="kit-texts">
        <h2 id="kit-texts">For the video</h2>
        <div class="kit-texts">
          {shown.map(({ file, label }) => (
            <CopyText key={file} label={label} text={texts[file] ?? ""} rows={14} />
          ))}
        </div>
        {!kit.files.some(({ name }) => name === "captions.vtt") && (
          <p class="kit-lead">
            There are no captions and no chapters: this session has no clock of a recording or
            stream. Under Bench, Broadcast it can be given one.
          </p>
        )}
      </section>
      <section class="kit-part" aria-labelledby="kit-listings">
        <h2 id="kit-listings">For the shop, skein by skein</h2>
        {kit.listings.length === 0 ? (
          <p class="kit-lead">There is no dyed skein to list.</p>
        ) : (
          <div class="kit-texts kit-listings">
            {kit.listings.map(({ skein, text }, at) => (
              <CopyText key={at} label={labelOf(skein, text)} text={text} rows={7} />
            ))}
          </div>
        )}
      </section>
      <section class="kit-part" aria-labelledby="kit-files">
        <h2 id="kit-files">Files</h2>
        <ul class="kit-files">
          {othersIn(kit.files).map(({ name, title, note }) => (
            <li key={name}>
              <p>
                <b>{title}</b>
                <span class="kit-note">{note}</span>
              </p>
              <button
                type="button"
                class="kit-button"
                aria-label={`Save: ${title}`}
                onClick={() => onSave(name)}
              >
                Save
              </button>
            </li>
          ))}
        </ul>
      </section>
    </>
  );
}

/** "Skein 3: Weed line" */
function labelOf(skein: string, text: string): string {
  const colourway = text.split("\n", 1)[0] ?? "";
  return colourway === `Skein ${skein}` ? colourway : `Skein ${skein}: ${colourway}`;
}
