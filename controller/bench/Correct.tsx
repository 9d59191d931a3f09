import { useContext, useState } from "preact/hooks";
import { showStrength } from "../../shared/dye/display.ts";
import { strengthPct } from "../../shared/dye/strength.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import type { Command } from "../../shared/session/command.ts";
import { sayAct, sayPan } from "../../shared/session/say.ts";
import type { State } from "../../shared/session/state.ts";
import { OffAirContext } from "../link/offAir.ts";
import { Action } from "./Action.tsx";
import { Choice } from "./Choice.tsx";
import { type Correctable, type Draft, draftOf, replacementOf } from "./correction.ts";
import { Form } from "./Form.tsx";
import { skeinsIn } from "./hank.ts";
import { Keypad } from "./Keypad.tsx";
import { Liquid } from "./Liquid.tsx";
import { sentence } from "./sentence.ts";
import { useAct } from "./useAct.ts";

const reasons = ["misread the measure", "another bottle", "another pan or skein", "tapped wrong"];

/** What a {@link Correct} changes. */
export interface CorrectProps {
  state: State;
  seq: number;
  /** The entry as it is held to be now. */
  was: Correctable;
  onBack: () => void;
}

/** Writes what was really done where the record says another thing; the first entry is kept. */
export function Correct({ state, seq, was, onBack }: CorrectProps) {
  const { said, busy, act, refusalOf, clear } = useAct();
  const [draft, setDraft] = useState<Draft>(() => draftOf(was));
  const [reason, setReason] = useState("");
  const [sure, setSure] = useState(false);
  // What viewers may have copied already is not changed without a word.
  const offAir = useContext(OffAirContext);

  const change = (part: Partial<Draft>) => {
    clear();
    setSure(false);
    setDraft({ ...draft, ...part });
  };
  const to = replacementOf(was, draft);
  const command: Command | null = to === null ? null : { type: "correct", act: seq, to, reason };
  const problem = refusalOf(command);
  const write = async (what: Command | null, done: string) => {
    if (what !== null && (await act(what, done))) onBack();
  };

  const { vessels, skeins, pans } = state.bench;
  const first = draftOf(was);
  const lying = (pan: string) => [
    ...new Set([...skeinsIn(state, pan), ...(pan === first.pan ? (first.skeins ?? []) : [])]),
  ];
  const there = lying(draft.pan);
  return (
    <Form
      title="Correct"
      onBack={onBack}
      extra={
        <button
          type="button"
          class="quiet-button"
          onClick={() => {
            if (sure) void write({ type: "correct", act: seq, to: null, reason }, "Taken out.");
            else setSure(true);
          }}
        >
          {sure ? "Tap again to take it out" : "It never happened"}
        </button>
      }
      side={
        <>
          <Keypad
            label="It was"
            unit={draft.unit}
            value={draft.value}
            onChange={(value) => change({ value })}
            problem={problem}
          />
          <Action
            onDo={() => write(command, "Corrected.")}
            missing={
              draft.value === null
                ? "Type what it was."
                : draft.skeins?.length === 0
                  ? "Choose at least one skein."
                  : problem
            }
            told={problem}
            busy={busy}
            said={said}
          >
            Write the correction
          </Action>
        </>
      }
    >
      <p class="measure">
        The record says: <bdi>{sayAct(state, was)}</bdi>
      </p>
      {was.kind === "pour" && draft.vessel !== null && (
        <Choice
          label="From"
          columns={3}
          options={Object.values(vessels).map(({ id, name, vessel }) => ({
            value: id,
            label: name,
            note: showStrength(strengthPct(totalUg(vessel.madeUg), vessel.madeUl)),
            mark: <Liquid state={state} dyes={vessel.madeUg} width={24} height={52} seed={id} />,
          }))}
          chosen={draft.vessel}
          onChoose={(vessel) => change({ vessel })}
        />
      )}
      <Choice
        label="Into"
        options={Object.keys(pans).map((id) => ({ value: id, label: sentence(sayPan(state, id)) }))}
        chosen={draft.pan}
        onChoose={(pan) =>
          change({
            pan,
            skeins: pan === first.pan ? first.skeins : lying(pan).length > 0 ? lying(pan) : null,
          })
        }
      />
      {was.kind === "pour" && draft.skeins !== null && there.length > 0 && (
        <Choice
          label="On skeins"
          options={there.map((id) => ({
            value: id,
            label: (
              <>
                <span class="unseen">Skein </span>
                {skeins[id]?.skein.name ?? id}
              </>
            ),
          }))}
          chosen={draft.skeins}
          onChoose={(id) => {
            const now = draft.skeins ?? [];
            change({
              skeins: now.includes(id) ? now.filter((own) => own !== id) : [...now, id],
            });
          }}
        />
      )}
      <Choice
        label={offAir ? "Why: viewers may read it" : "Why, if you like"}
        columns={2}
        options={reasons.map((value) => ({ value, label: value }))}
        chosen={reason}
        onChoose={(next) => setReason(next === reason ? "" : next)}
      />
      <label class="name-field">
        <span>In your own words</span>
        <input
          type="text"
          dir="auto"
          maxLength={300}
          value={reason}
          onInput={(event) => setReason(event.currentTarget.value)}
        />
      </label>
    </Form>
  );
}
