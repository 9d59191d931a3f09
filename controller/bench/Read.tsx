import { useState } from "preact/hooks";
import { Arrow } from "../../shared/draw/Arrow.tsx";
import { GraduatedRule } from "../../shared/draw/GraduatedRule.tsx";
import {
  showAmountInFull,
  showCount,
  showPlusMinus,
  showVolume,
  THIN_SPACE,
} from "../../shared/dye/display.ts";
import { gFromUg } from "../../shared/dye/units.ts";
import { left } from "../../shared/dye/vessel.ts";
import type { Act } from "../../shared/session/act.ts";
import type { Poured } from "../../shared/session/bench.ts";
import type { Command } from "../../shared/session/command.ts";
import { decide } from "../../shared/session/decide.ts";
import { sayPan } from "../../shared/session/say.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";
import { liquorHex } from "../../shared/session/views/publicView.ts";
import { Action } from "./Action.tsx";
import { Choice } from "./Choice.tsx";
import { clockTime } from "./clockTime.ts";
import { Fields } from "./Fields.tsx";
import { Form } from "./Form.tsx";
import { Keypad } from "./Keypad.tsx";
import { unsettled } from "./unsettled.ts";
import { useAct } from "./useAct.ts";
import { VesselTitle } from "./VesselTitle.tsx";

const doubtsUl = [500, 1_000, 2_000, 5_000];
const doubtsUg = [100_000, 500_000, 1_000_000, 2_000_000];

/** A bottle's level or weight is read: the pours that waited for it are settled. */
export function Read(props: { vessel: Id; by: "level" | "weight"; onBack: () => void }) {
  const { vessel: id, by, onBack } = props;
  const { link, state, said, busy, act, refusalOf, clear } = useAct();
  const [leftUl, setLeftUl] = useState<number | null>(null);
  const [field, setField] = useState<"before" | "after">("before");
  const [beforeUg, setBeforeUg] = useState<number | null>(null);
  const [afterUg, setAfterUg] = useState<number | null>(null);
  const [plusMinusUl, setPlusMinusUl] = useState(1_000);
  const [plusMinusUg, setPlusMinusUg] = useState(100_000);
  const bottle = state?.bench.vessels[id];
  if (!state || !bottle) return null;

  const waiting = unsettled(state, id);
  const command = commandOf();
  const decision = command === null ? null : decide(state, command, link.now());
  const event = decision?.ok === true ? decision.events[0] : undefined;
  const outcome = event?.type === "acted" ? event.act : null;
  const problem = refusalOf(command);

  function commandOf(): Command | null {
    if (by === "level") {
      return leftUl === null
        ? null
        : { type: "read", vessel: id, reading: { by, leftUl, plusMinusUl } };
    }
    return beforeUg === null || afterUg === null
      ? null
      : { type: "read", vessel: id, reading: { by, beforeUg, afterUg, plusMinusUg } };
  }

  const send = async () => {
    if (command === null || outcome === null) return;
    const done =
      outcome.kind === "settle"
        ? `${showCount(outcome.amounts.length, "pour")} settled from ${bottle.name}.`
        : `Written down: ${outcome.kind === "discard" ? showVolume(outcome.volumeUl) : ""} spilled.`;
    if (await act(command, done)) {
      setLeftUl(null);
      setBeforeUg(null);
      setAfterUg(null);
    }
  };

  return (
    <Form
      title={
        <>
          {by === "level" ? "Read the level of" : "Weigh"} <VesselTitle state={state} id={id} />
        </>
      }
      onBack={onBack}
      side={
        <>
          {by === "level" ? (
            <Keypad
              key="level"
              label="How much stands in it now"
              unit="mL"
              value={leftUl}
              zero
              onChange={(amount) => {
                clear();
                setLeftUl(amount);
              }}
              problem={problem}
            />
          ) : (
            <Keypad
              key={field}
              label={field === "before" ? "Weight before the pours" : "Weight now"}
              unit="g"
              value={field === "before" ? beforeUg : afterUg}
              zero={field === "after"}
              onChange={(amount) => {
                clear();
                if (field === "before") setBeforeUg(amount);
                else setAfterUg(amount);
              }}
              problem={field === "after" ? problem : null}
            />
          )}
          <Action
            onDo={send}
            missing={
              command === null
                ? by === "level"
                  ? "Type what the level says."
                  : "Type the weight before and the weight now."
                : problem
            }
            told={by === "level" || field === "after" ? problem : null}
            busy={busy}
            said={said}
          >
            {waiting.length > 0 ? `Settle ${showCount(waiting.length, "pour")}` : "Write it down"}
          </Action>
        </>
      }
    >
      {by === "level" ? (
        <>
          <GraduatedRule
            volumeUl={Math.max(1, bottle.vessel.madeUl)}
            pouredUl={leftUl ?? left(bottle.vessel).volumeUl}
            width={460}
            height={72}
            fillHex={liquorHex(state, bottle.vessel.madeUg)}
            tone="wool"
            labels
          />
          <Choice
            label="How well it can be read"
            columns={4}
            options={doubtsUl.map((ul) => ({ value: ul, label: showPlusMinus(ul) }))}
            chosen={plusMinusUl}
            onChoose={setPlusMinusUl}
          />
        </>
      ) : (
        <>
          <Fields
            label="The bottle on the scale"
            chosen={field}
            onChoose={setField}
            fields={[
              { value: "before", label: "Before the pours", unit: "g", amount: beforeUg },
              { value: "after", label: "Now", unit: "g", amount: afterUg },
            ]}
          />
          <Choice
            label="How well the scale weighs"
            columns={4}
            options={doubtsUg.map((ug) => ({
              value: ug,
              label: `±${THIN_SPACE}${gFromUg(ug)}${THIN_SPACE}g`,
            }))}
            chosen={plusMinusUg}
            onChoose={setPlusMinusUg}
          />
        </>
      )}
      <Outcome state={state} waiting={waiting} outcome={outcome} />
    </Form>
  );
}

/** What the reading settles, before it is written down and with what it would come to. */
function Outcome(props: { state: State; waiting: readonly Poured[]; outcome: Act | null }) {
  const { state, waiting, outcome } = props;
  if (waiting.length === 0) {
    return (
      <p class="measure figures">
        {outcome?.kind === "discard"
          ? `${showVolume(outcome.volumeUl)} is missing and is written down as spilled.`
          : "No pour from it waits for a reading. What is missing is written down as spilled."}
      </p>
    );
  }
  const settled = outcome?.kind === "settle" ? outcome.amounts : [];
  return (
    <section class="settling">
      <h3>This settles</h3>
      <ul>
        {waiting.map(({ act, at, pour }) => {
          const { source } = pour;
          const amount = source.from === "vessel" ? source.amount : null;
          const after = settled.find((one) => one.act === act);
          return (
            <li key={act} class="figures">
              <span>{clockTime(at)}</span>
              <span>
                <bdi>{sayPan(state, pour.pan)}</bdi>
              </span>
              <span>{amount ? showAmountInFull(amount) : ""}</span>
              <strong>
                {after && (
                  <>
                    <Arrow size={18} /> {showVolume(after.volumeUl)}{" "}
                    {showPlusMinus(after.plusMinusUl)}
                  </>
                )}
              </strong>
            </li>
          );
        })}
      </ul>
    </section>
  );
}
