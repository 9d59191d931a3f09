import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { Hank } from "../../shared/draw/Hank.tsx";
import { showCount, showMass, showVolume } from "../../shared/dye/display.ts";
import { sayClass } from "../../shared/dye/dyeClass.ts";
import type { Shelf, ShelfBase, ShelfDye, ShelfTool } from "../../shared/shelf/shelf.ts";

export function DyeLine({ dye }: { dye: ShelfDye | undefined }) {
  if (!dye) return null;
  const facts = [
    sayClass(dye.dyeClass),
    ...(dye.code === undefined ? [] : [dye.code]),
    ...(dye.lot === undefined ? [] : [`lot ${dye.lot}`]),
    ...(dye.retired ? ["out of use"] : []),
  ];
  return (
    <>
      <DippedStrip
        dyedHex={dye.hex}
        undyedHex={dye.swatchBaseHex}
        width={26}
        height={52}
        seed={dye.id}
      />
      <Words name={dye.name} facts={facts} />
      <span class="shelf-amount figures">
        {dye.onHandUg === undefined ? "" : showMass(dye.onHandUg)}
      </span>
    </>
  );
}

export function BaseLine({ base }: { base: ShelfBase | undefined }) {
  if (!base) return null;
  const fibres = base.fibres.map(({ fibre, pct }) => `${pct}\u202f% ${fibre}`).join(", ");
  const facts = [
    fibres,
    ...(base.ply === undefined ? [] : [base.ply]),
    base.superwash ? "superwash" : "not superwash",
    ...(base.retired ? ["out of use"] : []),
  ];
  return (
    <>
      <Hank
        label={base.name}
        fill={0}
        dyedHex={base.hex}
        undyedHex={base.hex}
        flecks={base.flecks.map(({ hex }) => hex)}
        ringed={false}
        seed={base.id}
        width={26}
        height={56}
        tone="wool"
        labelSize={0}
        title={base.name}
      />
      <Words name={base.name} facts={facts} />
      <span class="shelf-amount">
        {base.flecks.length > 0 ? showCount(base.flecks.length, "fleck") : ""}
      </span>
    </>
  );
}

export function ToolLine({ shelf, tool }: { shelf: Shelf; tool: ShelfTool | undefined }) {
  if (!tool) return null;
  return (
    <>
      <svg width="26" height="52" viewBox="0 0 26 52" aria-hidden="true">
        <path d="M6 2h14v48H6z" fill="#fcf8f0" stroke="#1d2125" stroke-width="1.5" />
        <path d="M6 10h8M6 18h5M6 26h8M6 34h5M6 42h8" stroke="#1d2125" stroke-width="1.5" />
      </svg>
      <Words
        name={tool.name}
        facts={[...saidTool(tool, shelf), ...(tool.retired ? ["out of use"] : [])]}
      />
      <span class="shelf-amount" />
    </>
  );
}

function saidTool({ tool }: ShelfTool, shelf: Shelf): string[] {
  switch (tool.kind) {
    case "syringe":
    case "cylinder":
      return [`${showVolume(tool.capacityUl)}, marked every ${showVolume(tool.divisionUl)}`];
    case "scale":
      return [`up to ${showMass(tool.capacityUg)}, in steps of ${showMass(tool.divisionUg)}`];
    case "dropper":
      return [
        tool.dropUl === undefined ? "not calibrated yet" : `a drop is ${showVolume(tool.dropUl)}`,
      ];
    case "liquidSpoon":
      return [`${showVolume(tool.spoonUl)} of liquid`];
    case "powderSpoon": {
      const known = Object.entries(tool.massUgOf).map(
        ([dye, ug]) => `${showMass(ug)} of ${shelf.dyes.find(({ id }) => id === dye)?.name ?? dye}`,
      );
      return [known.length > 0 ? known.join(", ") : "not weighed for any dye yet"];
    }
  }
}

function Words({ name, facts }: { name: string; facts: readonly string[] }) {
  return (
    <span class="shelf-words">
      <b>
        <bdi>{name}</bdi>
      </b>
      <span class="shelf-note figures">{facts.join(", ")}</span>
    </span>
  );
}
