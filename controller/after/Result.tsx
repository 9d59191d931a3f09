import "../prepare/prepare.css";
import "../shelf/shelf.css";
import { useState } from "preact/hooks";
import type { Picture } from "../../shared/colour/picture.ts";
import { sightedOf } from "../../shared/colour/seen.ts";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { refused } from "../../shared/dye/refusal.ts";
import type { AfterCommand } from "../../shared/session/command.ts";
import { compared } from "../../shared/session/outcome.ts";
import { predictedZones } from "../../shared/session/predicted.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";
import type { ShelfSwatch } from "../../shared/shelf/shelf.ts";
import { Action } from "../bench/Action.tsx";
import { Form } from "../bench/Form.tsx";
import { useAct } from "../bench/useAct.ts";
import { Tick } from "../form/Tick.tsx";
import { ColourEditor } from "../swatch/ColourEditor.tsx";
import { type ColourDraft, colourDraft, seenOf } from "../swatch/form.ts";
import { hexOfSeen } from "../swatch/known.ts";
import { keepPhotograph } from "./photograph.ts";
import { Remark } from "./Remark.tsx";

type ResultCommand = Extract<AfterCommand, { type: "result" }>;

/** What a {@link Result} is told. */
export interface ResultProps {
  state: State;
  id: Id;
  token: string;
  onBack: () => void;
}

/** The colour of one skein once it is dry and rinsed, held against what was predicted. */
export function Result({ state, id, token, onBack }: ResultProps) {
  const { said, busy, act } = useAct();
  const there = state.bench.skeins[id];
  const outcome = there?.outcome;
  const [draft, setDraft] = useState<ColourDraft>(() => colourDraft(outcome?.seen));
  const [pixels, setPixels] = useState<Picture | null>(null);
  const [keeping, setKeeping] = useState(true);
  const [words, setWords] = useState(outcome?.words ?? "");
  const [trouble, setTrouble] = useState<string | null>(null);
  const [sending, setSending] = useState(false);
  if (!there) return null;
  const { skein } = there;
  const undyedHex = state.setup.bases[skein.base]?.hex ?? "#f3ecdf";
  const zones = predictedZones(state, id);
  const told = seenOf(draft);
  const seen = refused(told) ? null : told;
  const sighted = seen && sightedOf(seen);
  const match = sighted && !refused(sighted) ? compared(sighted, zones) : null;
  const photographed = draft.how === "photographed" && pixels !== null && keeping;
  const missing =
    seen === null && !photographed
      ? refused(told)
        ? told.say
        : "Say what colour it has, or take a photograph of it."
      : null;

  const keep = async () => {
    if (sending) return;
    setTrouble(null);
    let photograph = outcome?.photograph;
    if (photographed && pixels) {
      setSending(true);
      const kept = await keepPhotograph(token, pixels);
      setSending(false);
      if (!kept.ok) {
        setTrouble(kept.say);
        return;
      }
      photograph = kept.photograph;
    }
    const result: ResultCommand = {
      type: "result",
      skein: id,
      ...(seen === null ? {} : { seen: sent(seen) }),
      ...(photograph === undefined ? {} : { photograph }),
      words: words.trim(),
    };
    if (await act({ type: "after", command: result }, "Kept.")) onBack();
  };
  return (
    <Form
      title={
        <>
          Result of skein <bdi>{skein.name}</bdi>
        </>
      }
      onBack={onBack}
      side={
        <>
          <div class="after-beside">
            <div class="after-compare">
              <ul class="after-zones">
                {zones.map(({ hex, coverage, patch }, at) => (
                  <li key={`${at} ${hex}`}>
                    <DippedStrip
                      dyedHex={hex}
                      undyedHex={undyedHex}
                      width={48}
                      height={112}
                      seed={`${id} ${at}`}
                    />
                    <span>
                      {patch ? `a patch of ${Math.round(coverage * 100)}\u202f%` : "predicted"}
                    </span>
                  </li>
                ))}
                {seen && (
                  <li>
                    <DippedStrip
                      dyedHex={hexOfSeen(seen)}
                      undyedHex={undyedHex}
                      width={48}
                      height={112}
                      seed={`${id} seen`}
                    />
                    <strong>seen</strong>
                  </li>
                )}
              </ul>
              <p class="after-fit" data-fit={match?.fit} aria-live="polite">
                {match?.say ?? "The prediction is of the dry, rinsed yarn with all the dye on it."}
              </p>
            </div>
            <Remark words={words} onWords={setWords} />
          </div>
          <Action
            onDo={keep}
            missing={missing}
            busy={busy || sending}
            said={trouble === null ? said : { tone: "refused", say: trouble }}
          >
            {seen === null && photographed ? "Keep the photograph alone" : "Keep the result"}
          </Action>
        </>
      }
    >
      <div class="prepare after-told">
        <ColourEditor
          label="Its colour, dry and rinsed"
          draft={draft}
          undyedHex={undyedHex}
          onDraft={setDraft}
          onPicture={setPixels}
        />
        {draft.how === "photographed" && pixels !== null && (
          <>
            <Tick
              label="Keep the photograph with the record"
              value={keeping}
              onValue={setKeeping}
            />
            <p class="shelf-note">
              Kept on this computer, at most 1,600 pixels wide, without place, time or camera. Only
              paired tablets see it; viewers see its colour.
            </p>
          </>
        )}
      </div>
    </Form>
  );
}

function sent(seen: ShelfSwatch["seen"]): NonNullable<ResultCommand["seen"]> {
  return seen.how === "spectrum" ? { ...seen, reflectance: [...seen.reflectance] } : seen;
}
