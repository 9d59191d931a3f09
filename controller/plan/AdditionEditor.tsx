import { acidUgIn, amountWith, convertAcid, sayAcid } from "../../shared/dye/acid.ts";
import { showMass, showVolume } from "../../shared/dye/display.ts";
import type { AddStep, PlanStep } from "../../shared/plan/plan.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Select } from "../form/Select.tsx";
import { Words } from "../form/Words.tsx";
import type { Table } from "./table.ts";

type By = AddStep["amount"]["by"];
type Source = NonNullable<AddStep["acid"]>;

const sources: readonly { value: string; label: string; acid: Source }[] = [
  { value: "vinegar", label: "Vinegar", acid: { kind: "vinegar", pct: 5 } },
  {
    value: "anhydrous",
    label: "Citric acid crystals",
    acid: { kind: "citricCrystals", form: "anhydrous" },
  },
  {
    value: "monohydrate",
    label: "Citric acid crystals, monohydrate",
    acid: { kind: "citricCrystals", form: "monohydrate" },
  },
  {
    value: "stock",
    label: "Citric acid stock",
    acid: { kind: "citricStock", pct: 10, form: "anhydrous" },
  },
];

const keyOf = (acid: Source | undefined): string =>
  acid?.kind === "citricCrystals" ? acid.form : acid?.kind === "citricStock" ? "stock" : "vinegar";

/** Acid, salt or water for a bath: as what, how much, and what that is in other terms. */
export function AdditionEditor(props: {
  table: Table;
  step: AddStep;
  put: (step: PlanStep) => void;
}) {
  const { table, step, put } = props;
  const { plan, prospect } = table;
  const bath = prospect.baths.find(({ pan }) => pan.id === step.pan);
  const entering = prospect.walked.steps.find((one) => one.step.id === step.id)?.entering;
  const amount = entering?.kind === "add" ? entering.amount : null;
  const says = amount
    ? `That is ${"volumeUl" in amount ? showVolume(amount.volumeUl) : showMass(amount.massUg)}`
    : "Cannot be worked out yet";
  const practice = bath?.practice;
  const ways: readonly { value: By; label: string }[] =
    step.what === "acid"
      ? [
          { value: "ph", label: "until the bath has a pH" },
          { value: "pctOfFibre", label: "by per cent of fibre" },
          step.acid?.kind === "citricCrystals"
            ? { value: "mass", label: "by weight" }
            : { value: "volume", label: "by volume" },
        ]
      : step.what === "water"
        ? [
            { value: "ratio", label: "until the liquor ratio" },
            { value: "volume", label: "by volume" },
          ]
        : [
            { value: "pctOfFibre", label: "by per cent of fibre" },
            { value: "mass", label: "by weight" },
          ];
  const fresh = (by: By): AddStep["amount"] => {
    switch (by) {
      case "ph":
        return { by, ph: practice?.targetPh ?? 4.5 };
      case "pctOfFibre":
        return { by, pct: step.what === "acid" ? (practice?.aceticPct ?? 2) : 10 };
      case "ratio":
        return { by, ratio: 30 };
      case "volume":
        return { by, volumeUl: amount && "volumeUl" in amount ? amount.volumeUl : 100_000 };
      case "mass":
        return { by, massUg: amount && "massUg" in amount ? amount.massUg : 5_000_000 };
    }
  };
  return (
    <div class="editor-fields">
      <Select
        label="Pan"
        options={plan.pans.map(({ id, name }) => ({ value: id, label: name }))}
        value={step.pan}
        onValue={(pan) => put({ ...step, pan })}
      />
      {step.what === "acid" && (
        <Select
          label="Comes as"
          options={sources}
          value={keyOf(step.acid)}
          onValue={(value) => {
            const acid = sources.find((one) => one.value === value)?.acid;
            if (!acid) return;
            const label = acid.kind === "vinegar" ? "White vinegar" : "Citric acid";
            const by = step.amount.by;
            const fits =
              by === "ph" ||
              by === "pctOfFibre" ||
              (by === "mass") === (acid.kind === "citricCrystals");
            put({
              ...step,
              acid,
              label,
              ...(fits ? {} : { amount: { by: "ph", ph: practice?.targetPh ?? 4.5 } }),
            });
          }}
        />
      )}
      {step.acid !== undefined && step.acid.kind !== "citricCrystals" && (
        <Quantity
          label="Its strength"
          field={{ kind: "percent", max: 100 }}
          value={step.acid.pct}
          onValue={(pct) => {
            if (pct !== null && step.acid && step.acid.kind !== "citricCrystals") {
              put({ ...step, acid: { ...step.acid, pct } });
            }
          }}
          show={(pct) => `${pct}\u202f%`}
        />
      )}
      <Select
        label="How much"
        options={ways}
        value={step.amount.by}
        onValue={(by) => put({ ...step, amount: fresh(by) })}
      />
      <AmountField step={step} put={put} says={says} />
      <Words
        label="Called"
        value={step.label}
        onValue={(label) => {
          if (label.trim() !== "") put({ ...step, label });
        }}
      />
      {step.what === "acid" && amount && step.acid && <InOtherTerms table={table} step={step} />}
      {step.what === "acid" && practice && bath && (
        <p class="editor-note">
          {`Usual for the dyes in this pan: pH ${practice.targetPh}, or ${practice.aceticPct}\u202f% of fibre as acetic acid; up by ${practice.rampPerMin}\u202f°C a minute, held at ${practice.holdCelsius}\u202f°C (common practice). Add acid to water, never water to acid, and keep it off eyes and skin. The maker's sheet comes first.`}
        </p>
      )}
    </div>
  );
}

function AmountField(props: { step: AddStep; put: (step: PlanStep) => void; says: string }) {
  const { step, put, says } = props;
  const { amount } = step;
  switch (amount.by) {
    case "ph":
      return (
        <Quantity
          label="pH, before the yarn"
          field={{ kind: "number", max: 7 }}
          value={amount.ph}
          onValue={(ph) => {
            if (ph !== null && ph >= 2) put({ ...step, amount: { by: "ph", ph } });
          }}
          show={String}
          hint={says}
        />
      );
    case "pctOfFibre":
      return (
        <Quantity
          label="Of dry fibre"
          field={{ kind: "percent", max: 100 }}
          value={amount.pct}
          onValue={(pct) => {
            if (pct !== null) put({ ...step, amount: { by: "pctOfFibre", pct } });
          }}
          show={(pct) => `${pct}\u202f%`}
          hint={says}
        />
      );
    case "ratio":
      return (
        <Quantity
          label="Liquor ratio, mL a gram"
          field={{ kind: "ratio", max: 1_000 }}
          value={amount.ratio}
          onValue={(ratio) => {
            if (ratio !== null) put({ ...step, amount: { by: "ratio", ratio } });
          }}
          show={(ratio) => `${ratio}:1`}
          hint={says}
        />
      );
    case "volume":
      return (
        <Quantity
          label="Volume"
          field={{ kind: "volume", max: 100_000_000 }}
          value={amount.volumeUl}
          onValue={(volumeUl) => {
            if (volumeUl !== null) put({ ...step, amount: { by: "volume", volumeUl } });
          }}
          show={showVolume}
        />
      );
    case "mass":
      return (
        <Quantity
          label="Weight"
          field={{ kind: "mass" }}
          value={amount.massUg}
          onValue={(massUg) => {
            if (massUg !== null) put({ ...step, amount: { by: "mass", massUg } });
          }}
          show={showMass}
        />
      );
  }
}

/** The same acid as vinegar, as crystals and as stock, by the pH that it brings. */
function InOtherTerms({ table, step }: { table: Table; step: AddStep }) {
  const entering = table.prospect.walked.steps.find((one) => one.step.id === step.id)?.entering;
  const bath = table.prospect.baths.find(({ pan }) => pan.id === step.pan);
  if (entering?.kind !== "add" || !step.acid) return null;
  const pureUg = acidUgIn(step.acid, entering.amount);
  const from = step.acid.kind === "vinegar" ? "acetic" : "citric";
  const to = from === "acetic" ? "citric" : "acetic";
  const ph = step.amount.by === "ph" ? step.amount.ph : (bath?.practice.targetPh ?? 4.5);
  const { atPhUg, titratableUg } = convertAcid(pureUg, from, to, ph);
  const others = sources.filter(({ value }) => value !== keyOf(step.acid));
  return (
    <dl class="editor-terms figures">
      {others.map(({ value, label, acid }) => {
        const same = (acid.kind === "vinegar" ? "acetic" : "citric") === from;
        const show = (ug: number) => {
          const there = amountWith(acid, ug);
          return "volumeUl" in there ? showVolume(there.volumeUl) : showMass(there.massUg);
        };
        return (
          <div key={value}>
            <dt>{acid.kind === "citricCrystals" ? label : sayAcid(acid)}</dt>
            <dd>
              {show(same ? pureUg : atPhUg)}
              {!same && <small>{` (${show(titratableUg)} by titration)`}</small>}
            </dd>
          </div>
        );
      })}
    </dl>
  );
}
