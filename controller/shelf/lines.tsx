import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { showCount, showMass, showVolume } from "../../shared/dye/display.ts";
import { sayClass } from "../../shared/dye/dyeClass.ts";
import type { Shelf, ShelfBase, ShelfDye, ShelfTool } from "../../shared/shelf/shelf.ts";
import { hexOfSeen, sayKnown, typicalSwatch } from "../swatch/known.ts";
import { ToolFigure } from "./ToolFigure.tsx";

/** A dye: its strip, what it is, how well its colour is known, and the powder on hand. */
export function DyeLine({ shelf, dye }: { shelf: Shelf; dye: ShelfDye }) {
  const facts = [
    sayClass(dye.dyeClass),
    ...(dye.code === undefined ? [] : [dye.code]),
    ...(dye.lot === undefined ? [] : [`lot ${dye.lot}`]),
    sayKnown(shelf, dye),
  ];
  const swatch = typicalSwatch(shelf, dye.id);
  const yarn = shelf.bases.find(({ id }) => id === swatch?.base);
  return (
    <>
      <DippedStrip
        dyedHex={swatch ? hexOfSeen(swatch.seen) : dye.hex}
        undyedHex={yarn?.hex ?? dye.swatchBaseHex}
        width={26}
        height={52}
        seed={dye.id}
      />
      <Words name={dye.name} facts={facts} retired={dye.retired} />
      <span class="shelf-amount figures">
        {dye.onHandUg === undefined ? "" : showMass(dye.onHandUg)}
      </span>
    </>
  );
}

/** A yarn: an undyed strip with its flecks, and what it is spun of. */
export function BaseLine({ base }: { base: ShelfBase }) {
  const fibres = base.fibres.map(({ fibre, pct }) => `${pct}\u202f% ${fibre}`).join(", ");
  const facts = [
    fibres,
    ...(base.ply === undefined ? [] : [base.ply]),
    base.superwash ? "superwash" : "not superwash",
  ];
  return (
    <>
      <DippedStrip
        dyedHex={base.hex}
        undyedHex={base.hex}
        width={26}
        height={52}
        seed={base.id}
        undyedShare={0}
        patches={base.flecks.map(({ hex }) => ({ hex, coverage: 0.06, specks: true }))}
      />
      <Words name={base.name} facts={facts} retired={base.retired} />
      <span class="shelf-amount">
        {base.flecks.length > 0 ? showCount(base.flecks.length, "fleck") : ""}
      </span>
    </>
  );
}

/** A tool, drawn as what it is, and how finely it measures. */
export function ToolLine({ shelf, tool }: { shelf: Shelf; tool: ShelfTool }) {
  return (
    <>
      <ToolFigure tool={tool.tool} width={26} height={52} />
      <Words name={tool.name} facts={saidTool(tool, shelf)} retired={tool.retired} />
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

function Words(props: { name: string; facts: readonly string[]; retired: boolean }) {
  const { name, facts, retired } = props;
  return (
    <span class="shelf-words">
      <b>
        <bdi>{name}</bdi>
      </b>
      <span class="shelf-note figures">
        {[...facts, ...(retired ? ["out of use"] : [])].join(", ")}
      </span>
    </span>
  );
}
