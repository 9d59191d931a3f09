import { showMass, showVolume } from "../../shared/dye/display.ts";
import type { Shelf, ShelfTool } from "../../shared/shelf/shelf.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Select } from "../form/Select.tsx";
import { Words } from "../form/Words.tsx";
import { useDraft } from "./draft.ts";
import { ItemEditor } from "./ItemEditor.tsx";

type Kind = ShelfTool["tool"]["kind"];

const KINDS: readonly { value: Kind; label: string }[] = [
  { value: "syringe", label: "Syringe" },
  { value: "cylinder", label: "Measuring cylinder" },
  { value: "scale", label: "Scale" },
  { value: "dropper", label: "Dropper" },
  { value: "liquidSpoon", label: "Spoon for liquid" },
  { value: "powderSpoon", label: "Spoon for powder" },
];

const fresh: Readonly<Record<Kind, ShelfTool["tool"]>> = {
  syringe: { kind: "syringe", capacityUl: 10_000, divisionUl: 200 },
  cylinder: { kind: "cylinder", capacityUl: 100_000, divisionUl: 1_000 },
  scale: { kind: "scale", capacityUg: 200_000_000, divisionUg: 10_000 },
  dropper: { kind: "dropper" },
  liquidSpoon: { kind: "liquidSpoon", spoonUl: 5_000 },
  powderSpoon: { kind: "powderSpoon", massUgOf: {} },
};

/** What a {@link ToolEditor} is told; a tool that is not `there` is only begun. */
export interface ToolEditorProps {
  shelf: Shelf;
  tool: ShelfTool;
  there: boolean;
  onDone: () => void;
}

/** A tool to measure with: how much it holds and how finely it is marked. */
export function ToolEditor({ shelf, tool: onShelf, there, onDone }: ToolEditorProps) {
  const draft = useDraft(onShelf);
  const { value: item, put } = draft;
  const { tool } = item;
  const set = (next: ShelfTool["tool"]) => put({ tool: next });
  return (
    <ItemEditor
      item={{ part: "tools", item }}
      draft={{ changed: draft.changed, settle: () => draft.settle(item) }}
      there={there}
      onDone={onDone}
    >
      <div class="editor-fields">
        <div class="shelf-wide">
          <Words label="Name" value={item.name} onValue={(name) => put({ name })} />
        </div>
        <Select
          label="Kind"
          options={KINDS}
          value={tool.kind}
          onValue={(kind) => set(fresh[kind])}
        />
        {(tool.kind === "syringe" || tool.kind === "cylinder") && (
          <>
            <Quantity
              label="Holds"
              field={{ kind: "volume", max: 10_000_000 }}
              value={tool.capacityUl}
              onValue={(capacityUl) => {
                if (capacityUl !== null) set({ ...tool, capacityUl });
              }}
              show={showVolume}
            />
            <Quantity
              label="Marked every"
              field={{ kind: "volume", max: 10_000_000 }}
              value={tool.divisionUl}
              onValue={(divisionUl) => {
                if (divisionUl !== null) set({ ...tool, divisionUl });
              }}
              show={showVolume}
            />
          </>
        )}
        {tool.kind === "scale" && (
          <>
            <Quantity
              label="Weighs up to"
              field={{ kind: "mass", max: 100_000_000_000 }}
              value={tool.capacityUg}
              onValue={(capacityUg) => {
                if (capacityUg !== null) set({ ...tool, capacityUg });
              }}
              show={showMass}
            />
            <Quantity
              label="In steps of"
              field={{ kind: "mass", max: 1_000_000_000 }}
              value={tool.divisionUg}
              onValue={(divisionUg) => {
                if (divisionUg !== null) set({ ...tool, divisionUg });
              }}
              show={showMass}
            />
          </>
        )}
        {tool.kind === "dropper" && (
          <Drops onDrop={(dropUl) => set({ ...tool, dropUl })} tool={tool} />
        )}
        {tool.kind === "liquidSpoon" && (
          <Quantity
            label="Holds"
            field={{ kind: "volume", max: 1_000_000 }}
            value={tool.spoonUl}
            onValue={(spoonUl) => {
              if (spoonUl !== null) set({ ...tool, spoonUl });
            }}
            show={showVolume}
          />
        )}
        {tool.kind === "powderSpoon" &&
          shelf.dyes
            .filter(({ id, retired }) => !retired || id in tool.massUgOf)
            .map((dye) => (
              <Quantity
                key={dye.id}
                label={`A level spoon of ${dye.name}`}
                field={{ kind: "mass", max: 1_000_000_000 }}
                value={tool.massUgOf[dye.id] ?? null}
                onValue={(massUg) => {
                  const { [dye.id]: _, ...rest } = tool.massUgOf;
                  set({
                    ...tool,
                    massUgOf: massUg === null ? rest : { ...rest, [dye.id]: massUg },
                  });
                }}
                show={showMass}
                optional
              />
            ))}
      </div>
      {tool.kind === "powderSpoon" && (
        <p class="shelf-note">
          Powders pack differently: a spoon is weighed for each dye, or it is not used for that dye.
        </p>
      )}
    </ItemEditor>
  );
}

/** A drop is the mean of many: twenty of them weighed, a gram of water being a mL. */
function Drops(props: {
  tool: Extract<ShelfTool["tool"], { kind: "dropper" }>;
  onDrop: (dropUl: number) => void;
}) {
  const { tool, onDrop } = props;
  return (
    <Quantity
      label="20 drops together weigh"
      field={{ kind: "mass", max: 20_000_000 }}
      value={tool.dropUl === undefined ? null : Math.round(tool.dropUl * 20 * 1_000)}
      onValue={(massUg) => {
        if (massUg !== null) onDrop(massUg / 20 / 1_000);
      }}
      show={showMass}
      optional
      hint={
        tool.dropUl === undefined
          ? "Drop 20 onto a scale: 1 g counts as 1 mL"
          : `A drop is ${showVolume(tool.dropUl)}`
      }
    />
  );
}
