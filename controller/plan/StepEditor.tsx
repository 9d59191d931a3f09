import { useState } from "preact/hooks";
import { showCelsius } from "../../shared/dye/display.ts";
import { isTimed, type PlanStep, TIMED, type TimedKind } from "../../shared/plan/plan.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Select } from "../form/Select.tsx";
import { Tick } from "../form/Tick.tsx";
import { Words } from "../form/Words.tsx";
import { minutesText } from "../prepare/minutes.ts";
import { AdditionEditor } from "./AdditionEditor.tsx";
import { Editor } from "./Editor.tsx";
import { PourEditor } from "./PourEditor.tsx";
import { sayStepOf, TIMED_WORDS } from "./say.ts";
import type { Table } from "./table.ts";

/** The step in hand: everything that a plan says of it. */
export function StepEditor({ table, step }: { table: Table; step: PlanStep }) {
  const { plan, shelf, prospect, edit } = table;
  const put = (item: PlanStep) => edit({ edit: "put", part: "steps", item });
  const walked = prospect.walked.steps.find((one) => one.step.id === step.id);
  const at = plan.steps.findIndex(({ id }) => id === step.id);
  const [place, setPlace] = useState<number | null>(null);
  return (
    <Editor
      table={table}
      part="steps"
      id={step.id}
      title={<bdi>{sayStepOf(step, plan, shelf)}</bdi>}
      twice="Once more"
    >
      {step.kind === "pour" && <PourEditor table={table} step={step} put={put} />}
      {step.kind === "add" && <AdditionEditor table={table} step={step} put={put} />}
      {isTimed(step) && (
        <div class="editor-fields">
          <Select
            label="What happens"
            options={TIMED.map((kind) => ({ value: kind, label: TIMED_WORDS[kind] }))}
            value={step.kind}
            onValue={(kind: TimedKind) => put({ ...step, kind })}
          />
          <Select
            label="Pan"
            options={plan.pans.map(({ id, name }) => ({ value: id, label: name }))}
            value={step.pan}
            onValue={(pan) => put({ ...step, pan })}
          />
          {(step.kind === "heat" || step.kind === "hold" || step.kind === "cool") && (
            <Quantity
              label="To"
              field={{ kind: "temperature", max: 130 }}
              value={step.celsius ?? null}
              onValue={(celsius) => {
                const { celsius: _, ...rest } = step;
                put(celsius === null ? rest : { ...rest, celsius });
              }}
              show={showCelsius}
              optional
            />
          )}
          <Words
            label="What is being waited for"
            value={step.waitingFor}
            onValue={(waitingFor) => put({ ...step, waitingFor })}
            most={120}
          />
          <Tick
            label="The session waits for it"
            value={step.wait}
            onValue={(wait) => put({ ...step, wait })}
          />
        </div>
      )}
      {step.kind === "talk" && (
        <Words
          label="About"
          value={step.about}
          onValue={(about) => {
            if (about.trim() !== "") put({ ...step, about });
          }}
        />
      )}
      <div class="editor-fields">
        <Quantity
          label="How long"
          field={{ kind: "time", max: 48 * 3600 }}
          value={step.seconds}
          onValue={(seconds) => put({ ...step, seconds })}
          show={minutesText}
          optional
          hint={
            step.seconds === null && walked
              ? `Left empty: ${minutesText(walked.seconds)}, worked out`
              : "Empty it to have it worked out"
          }
        />
        <Quantity
          label="Place in the pour sheet"
          field={{ kind: "count", max: plan.steps.length }}
          value={place ?? at + 1}
          onValue={(next) => {
            setPlace(null);
            if (next !== null && next - 1 !== at) {
              edit({ edit: "move", part: "steps", id: step.id, to: next - 1 });
            }
          }}
          show={String}
        />
        <Tick label="On air" value={step.onAir} onValue={(onAir) => put({ ...step, onAir })} />
      </div>
    </Editor>
  );
}
