import { CAUTIONS } from "../cautions/cautions.ts";
import { showAbout, showDepth, showMass, showVolume } from "../dye/display.ts";
import type { PublicPour, PublicView } from "../session/views/publicView.ts";

/** The texts that stand in for the overlay where there is no browser source. */
export const textParts = ["stock", "volume", "depth", "caution"] as const;
export type TextPart = (typeof textParts)[number];

/** What each of the four says now; empty where there is nothing to say. */
export function wordsOf(view: PublicView): Record<TextPart, string> {
  const caution = view.hazards.map((hazard) => CAUTIONS[hazard].line).join("\n");
  const step = view.current === undefined ? undefined : view.steps[view.current];
  const nothing = { stock: "", volume: "", depth: "", caution };
  // Cautions cannot be hidden while their hazard lasts; all else can.
  if (view.overlay.view === "hidden") return nothing;
  if (view.session.phase !== "live" || step === undefined) {
    return { ...nothing, stock: view.session.name };
  }
  const pan = view.pans[step.kind === "pour" ? step.pour.pan : step.pan]?.name ?? "";
  switch (step.kind) {
    case "pour":
      return {
        stock: `${step.pour.title} into pan ${pan}`,
        volume: amountOf(step.pour),
        depth: view.overlay.parts.depth ? depthOf(step.pour) : "",
        caution,
      };
    case "add": {
      const { amount, label } = step;
      const volume = "volumeUl" in amount ? showVolume(amount.volumeUl) : showMass(amount.massUg);
      return { ...nothing, stock: `${label} into pan ${pan}`, volume };
    }
    case "heat":
      return { ...nothing, stock: `Pan ${pan}: ${step.waitingFor}` };
  }
}

function amountOf({ volumeUl, massUg, how }: PublicPour): string {
  if (volumeUl !== undefined)
    return how === "measured" ? showVolume(volumeUl) : showAbout(volumeUl);
  return massUg === undefined ? "" : `${how === "measured" ? "" : "about "}${showMass(massUg)}`;
}

function depthOf({ doses }: PublicPour): string {
  const rows = Object.values(doses).map(
    ({ beforePct, afterPct }) => `${showDepth(beforePct)} → ${showDepth(afterPct)}`,
  );
  const [first] = rows;
  if (first === undefined) return "";
  return rows.every((row) => row === first)
    ? `Depth of shade ${first}`
    : `Depth of shade ${rows.join(", ")}`;
}
