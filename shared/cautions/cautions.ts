import type { Hazard } from "./hazards.ts";

/**
 * `line` is what a strip on screen has room for; `note` is what a reader gets in full. The wording
 * is the usual practice of dyers (common practice, no source): it is a reminder, not advice for any
 * one dye, and never stands without a deferral.
 */
export type Caution = { readonly hazard: Hazard; readonly line: string; readonly note: string };

export const CAUTIONS: Readonly<Record<Hazard, Caution>> = {
  dryPowder: {
    hazard: "dryPowder",
    line: "Dry dye powder: mask on, still air",
    note: "Dry dye powder floats and is easily breathed in. Wear a dust mask that fits and gloves, shut off fans and draughts, and weigh over a damp cloth or paper. Close the jar before anything else, and wipe up spills wet, never sweep them dry.",
  },
  acid: {
    hazard: "acid",
    line: "Acid into water, and mind your eyes",
    note: "Always add acid to water, slowly, and never water to strong acid. Wear gloves and eye protection, and keep your face away from warm vinegar fumes. If acid reaches skin or eyes, rinse with plenty of water at once and follow the label or safety data sheet on getting help.",
  },
  steam: {
    hazard: "steam",
    line: "Steam burns: lift the lid away from you",
    note: "Steam burns before it is seen. Turn off the heat, wait a little, and open the lid on the far side so that it vents away from your face and arms. Keep the room aired, and never let a steamer boil dry.",
  },
  hotBath: {
    hazard: "hotBath",
    line: "Hot bath: it scalds, so let it cool",
    note: "A hot dye bath and soaked yarn scald, and both stay hot long after the heat is off. Use heatproof gloves or tongs, lift slowly and let the yarn drip over the pan. Do not carry a full hot pan: let it cool where it stands.",
  },
  wasteWater: {
    hazard: "wasteWater",
    line: "Used bath: check local rules before tipping",
    note: "Use up the dye in the bath as far as you can, by more time, acid or another skein, and let it cool before it is tipped. What may go down a drain differs from place to place: follow your local water authority. Do not tip a dye bath on the ground or into a stream, and ask first if you have a septic tank.",
  },
  dyeVessels: {
    hazard: "dyeVessels",
    line: "Dye pans and spoons: never for food",
    note: "Pans, jugs, spoons and scales used for dye are kept for dye: mark them and store them away from the kitchen's. Do not eat, drink or prepare food where you dye, and cover or clear the table first.",
  },
  childrenAndPets: {
    hazard: "childrenAndPets",
    line: "Keep children and pets well away",
    note: "Keep children and pets out of the room while powders, acid or hot baths are about, and do not leave heat unattended. Label bottles of stock with the dye and the date, keep them closed and out of reach, and never store dye in a food or drink bottle.",
  },
};

/** The sentence that every set of notes ends with. */
export const deferral =
  "These are reminders of usual practice and no more: the safety data sheet of your dye, the rules where you live and qualified advice come first.";

/** The deferral that fits beside a caution on screen. */
export const shortDeferral = "Always follow the dye's safety data sheet";

/** The cautions of some hazards, in their order. */
export function cautionsOf(hazards: readonly Hazard[]): Caution[] {
  return hazards.map((hazard) => CAUTIONS[hazard]);
}

/** The full notes of some hazards, closing with the deferral; empty when there is no hazard. */
export function notesOf(hazards: readonly Hazard[]): string[] {
  if (hazards.length === 0) return [];
  return [...cautionsOf(hazards).map((caution) => caution.note), deferral];
}
