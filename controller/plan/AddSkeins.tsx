import { useState } from "preact/hooks";
import { showMass } from "../../shared/dye/display.ts";
import type { Change } from "../../shared/prepare/change.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Select } from "../form/Select.tsx";
import { Words } from "../form/Words.tsx";
import { newId } from "../link/id.ts";
import { usePreparation } from "../prepare/context.tsx";
import type { Table } from "./table.ts";

/** Puts several skeins on the table at once, of one yarn and into one pan. */
export function AddSkeins({ table }: { table: Table }) {
  const { plan, shelf } = table;
  const { prepared, change } = usePreparation();
  const bases = shelf.bases.filter(({ retired }) => !retired);
  const [count, setCount] = useState<number | null>(1);
  const [massUg, setMassUg] = useState<number | null>(50_000_000);
  const [base, setBase] = useState(bases[0]?.id ?? "");
  const [pan, setPan] = useState<string | null>(null);
  const [colourway, setColourway] = useState("");
  const home = pan ?? plan.pans.at(-1)?.id ?? "";
  const add = () => {
    if (count === null || massUg === null || base === "") return;
    const id = Object.entries(prepared?.plans ?? {}).find(([, one]) => one.plan === plan)?.[0];
    if (id === undefined) return;
    const name = colourway.trim();
    const known = plan.colourways.find((one) => one.name === name);
    const way = name === "" ? null : (known ?? { id: newId(), name });
    const taken = new Set(plan.skeins.map((skein) => skein.name));
    const changes: Change[] = [];
    if (way && !known) {
      changes.push({
        change: "plan",
        plan: id,
        edit: { edit: "put", part: "colourways", item: way },
      });
    }
    for (let made = 0, n = 1; made < Math.min(count, 50); n++) {
      if (taken.has(String(n))) continue;
      made += 1;
      changes.push({
        change: "plan",
        plan: id,
        edit: {
          edit: "put",
          part: "skeins",
          item: {
            id: newId(),
            name: String(n),
            base,
            massUg,
            ...(way ? { colourway: way.id } : {}),
            ...(home === "" ? {} : { pan: home }),
          },
        },
      });
    }
    const because = `added ${count === 1 ? "a skein" : `${count} skeins`} of ${showMass(massUg)}`;
    void change({ change: "several", changes, because });
  };
  if (bases.length === 0) {
    return (
      <p class="plan-lead">
        There is no yarn on the shelf yet. Put one there first, under Shelf: skeins are made of it.
      </p>
    );
  }
  return (
    <form
      class="plan-entry plan-skeins-entry"
      aria-label="Add skeins"
      onSubmit={(event) => {
        event.preventDefault();
        add();
      }}
    >
      <Quantity
        label="Skeins"
        field={{ kind: "count", max: 50 }}
        value={count}
        onValue={setCount}
        show={String}
      />
      <Quantity
        label="Dry weight of each"
        field={{ kind: "mass" }}
        value={massUg}
        onValue={setMassUg}
        show={showMass}
      />
      <Select
        label="Yarn"
        options={bases.map(({ id, name }) => ({ value: id, label: name }))}
        value={base}
        onValue={setBase}
      />
      <Select
        label="Into pan"
        options={[
          ...plan.pans.map(({ id, name }) => ({ value: id as string, label: name })),
          { value: "", label: "none yet" },
        ]}
        value={home}
        onValue={setPan}
      />
      <Words label="Colourway" value={colourway} onValue={setColourway} />
      <button type="submit" class="quiet-button">
        Add skeins
      </button>
    </form>
  );
}
