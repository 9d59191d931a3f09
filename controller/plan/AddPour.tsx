import { useRef, useState } from "preact/hooks";
import type { PlanPour } from "../../shared/plan/plan.ts";
import type { Id } from "../../shared/session/setup.ts";
import { Select } from "../form/Select.tsx";
import { newId } from "../link/id.ts";
import { AddStep } from "./AddStep.tsx";
import { readAmount } from "./amount.ts";
import { overText, readOver } from "./over.ts";
import type { Table } from "./table.ts";

type Source = { label: string; source: PlanPour["source"] };

/** The line at which pours are typed: what, how much, over what, into which pan; Enter adds it. */
export function AddPour({ table }: { table: Table }) {
  const { plan, shelf, edit, place, look } = table;
  const sources = sourcesOf(table);
  const [what, setWhat] = useState("");
  const [amount, setAmount] = useState("");
  const [over, setOver] = useState("");
  const [chosen, setChosen] = useState<Id | null>(null);
  const [wrong, setWrong] = useState<string | null>(null);
  const first = useRef<HTMLInputElement>(null);
  const last = lastPan(table);
  const pan = plan.pans.find(({ id }) => id === chosen)?.id ?? last;
  const found = sourceFor(what, sources);
  const read =
    amount.trim() === "" ? null : readAmount(amount, found?.source.from === "powder", shelf);

  const add = () => {
    if (pan === null) return setWrong("Add a pan first: a pour needs one to go into.");
    if (!found) {
      return setWrong(
        what.trim() === ""
          ? "What is poured? Type the name of a bottle."
          : `Nothing on the shelf is called "${what.trim()}".`,
      );
    }
    const taken = readAmount(amount, found.source.from === "powder", shelf);
    if (!taken.ok)
      return setWrong("ask" in taken ? `${taken.ask} ${taken.readings.join(" or ")}?` : taken.say);
    const skeins = readOver(over, plan, pan);
    if ("say" in skeins) return setWrong(skeins.say);
    const speckled = found.source.from === "powder";
    const method = plan.pans.find(({ id }) => id === pan)?.method;
    const id = newId();
    const after =
      place?.part === "steps" ? plan.steps.findIndex((step) => step.id === place.id) : -1;
    edit({
      edit: "put",
      part: "steps",
      ...(after >= 0 ? { at: after + 1 } : {}),
      item: {
        id,
        kind: "pour",
        onAir: true,
        seconds: null,
        pour: {
          source: found.source,
          pan,
          over: skeins.over,
          amount: taken.amount,
          technique: speckled
            ? "speckled"
            : method === "lowWater"
              ? "lowWater"
              : method === "painted"
                ? "painted"
                : "immersion",
          coverage: speckled ? 0.25 : 1,
        },
      },
    });
    setWrong(null);
    setAmount("");
    setOver("");
    // The step that was added is the one in hand only where another was: pours follow it then.
    if (after >= 0) look({ part: "steps", id });
    first.current?.focus();
    first.current?.select();
  };
  const says =
    wrong ??
    (read === null
      ? "Enter adds it. How much: 12 mL, 0.8 % of fibre, 10 drops, or grams of dry powder."
      : read.ok
        ? read.understood
        : "ask" in read
          ? `${read.ask} ${read.readings.join(" or ")}?`
          : read.say);
  return (
    <div class="plan-adds">
      <form
        class="plan-entry plan-pour-entry"
        aria-label="Add a pour"
        onSubmit={(event) => {
          event.preventDefault();
          add();
        }}
      >
        <div class="blank">
          <label class="blank-label" for="pour-what">
            Pour
          </label>
          <input
            id="pour-what"
            ref={first}
            class="blank-box"
            type="text"
            list="pour-sources"
            autocomplete="off"
            value={what}
            onFocus={(event) => event.currentTarget.select()}
            onInput={(event) => {
              setWhat(event.currentTarget.value);
              setWrong(null);
            }}
            onBlur={() => {
              // The whole name, once the first letters have told which it is.
              if (found) setWhat(found.label);
            }}
          />
          <datalist id="pour-sources">
            {sources.map(({ label }) => (
              <option key={label} value={label} />
            ))}
          </datalist>
        </div>
        <div class="blank">
          <label class="blank-label" for="pour-amount">
            How much
          </label>
          <input
            id="pour-amount"
            class="blank-box figures"
            type="text"
            autocomplete="off"
            value={amount}
            aria-invalid={read !== null && !read.ok}
            aria-describedby="pour-says"
            onInput={(event) => {
              setAmount(event.currentTarget.value);
              setWrong(null);
            }}
          />
        </div>
        <div class="blank">
          <label class="blank-label" for="pour-over">
            Over skeins
          </label>
          <input
            id="pour-over"
            class="blank-box"
            type="text"
            autocomplete="off"
            placeholder={pan === null ? "all" : overText("all", plan)}
            value={over}
            onInput={(event) => {
              setOver(event.currentTarget.value);
              setWrong(null);
            }}
          />
        </div>
        <Select
          label="Into pan"
          options={plan.pans.map(({ id, name }) => ({ value: id, label: name }))}
          value={pan ?? ""}
          onValue={setChosen}
        />
        <button type="submit" class="green-button">
          Add pour
        </button>
        <p
          id="pour-says"
          class="blank-says plan-entry-says"
          data-wrong={wrong !== null || (read !== null && !read.ok)}
          aria-live="polite"
        >
          {says}
        </p>
      </form>
      <AddStep table={table} pan={pan} />
    </div>
  );
}

function sourcesOf({ shelf }: Table): Source[] {
  return [
    ...shelf.stocks
      .filter(({ retired }) => !retired)
      .map(({ id, name }) => ({ label: name, source: { from: "stock" as const, stock: id } })),
    ...shelf.dyes
      .filter(({ retired }) => !retired)
      .map(({ id, name }) => ({
        label: `${name} powder`,
        source: { from: "powder" as const, dye: id },
      })),
  ];
}

/** The source that is meant: by its whole name, else the first that begins so, else has it in it. */
function sourceFor(text: string, sources: readonly Source[]): Source | undefined {
  const typed = text.trim().toLowerCase();
  if (typed === "") return undefined;
  const low = (one: Source) => one.label.toLowerCase();
  return (
    sources.find((one) => low(one) === typed) ??
    sources.find((one) => low(one).startsWith(typed)) ??
    sources.find((one) => low(one).includes(typed))
  );
}

function lastPan({ plan, place }: Table): Id | null {
  if (place?.part === "pans" && plan.pans.some(({ id }) => id === place.id)) return place.id;
  const at = place?.part === "steps" ? plan.steps.findIndex(({ id }) => id === place.id) : -1;
  const before = at >= 0 ? plan.steps.slice(0, at + 1) : plan.steps;
  for (const step of [...before].reverse()) {
    if (step.kind === "pour") return step.pour.pan;
  }
  const filled = plan.pans.find(({ id }) => plan.skeins.some(({ pan }) => pan === id));
  return (filled ?? plan.pans[0])?.id ?? null;
}
