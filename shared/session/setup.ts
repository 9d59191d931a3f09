import type { Hazard } from "../cautions/hazards.ts";
import type { RecordedSeen } from "../colour/seen.ts";
import type { PowderAmount, VolumeAmount } from "../dye/amount.ts";
import type { DyeMasses } from "../dye/vessel.ts";

/** Short names by which the parts of a session refer to each other; unique within their kind. */
export type Id = string;

/** A dye seen on a yarn at one depth, dry and rinsed. */
export type DyeSwatch = {
  /** Depth of shade, % owf. */
  depthPct: number;
  seen: RecordedSeen;
  /** The yarn it was made on, as it was before. */
  yarn: RecordedSeen;
  /** The base that this yarn is, where it is one of the shelf. */
  yarnId?: Id;
};

/** A dry colourant, and what its predicted colour is calibrated on. */
export type Dye = {
  id: Id;
  name: string;
  /** Colour of its first swatch, as typed or sampled, `#rrggbb`. */
  hex: string;
  /** Depth of shade of that swatch, % owf. */
  swatchDepthPct: number;
  /** Colour of the undyed yarn that swatch was made on. */
  swatchBaseHex: string;
  /** Swatches of the shelf; where there are any, they stand in for the first one. */
  swatches?: readonly DyeSwatch[];
  /** What its safety data sheet warns of beyond what every step of its kind has. */
  hazards: readonly Hazard[];
};

export type Fibre = { fibre: string; pct: number };
/** A nep of another colour; `takesDye` where it dyes as the yarn does, else it keeps its colour. */
export type Fleck = { name: string; hex: string; takesDye?: boolean };

/** A yarn as it enters, undyed or already dyed. */
export type Base = {
  id: Id;
  name: string;
  fibres: readonly Fibre[];
  superwash: boolean;
  hex: string;
  /** Its colour as measured or sampled; absent, it is `hex` as typed. */
  seen?: RecordedSeen;
  flecks: readonly Fleck[];
};

/** A bottle of stock solution as it stood when the session was opened. */
export type Stock = { id: Id; name: string; volumeUl: number; dyes: DyeMasses; madeOn?: string };

export type Colourway = { id: Id; name: string };

/** Dry fibre of one base that ends as one colourway; `pan` is where it lies at the start. */
export type Skein = {
  id: Id;
  name: string;
  base: Id;
  massUg: number;
  colourway?: Id;
  pan?: Id;
};

export type Method = "immersion" | "lowWater" | "painted" | "dipped";

export type Pan = { id: Id; name: string; capacityUl: number; waterUl: number; method: Method };

export type Technique = "immersion" | "lowWater" | "painted" | "dripped" | "speckled";

/** How many parts of a pour each skein gets; by weight the parts are its micrograms of dry fibre. */
export type Share = { skein: Id; parts: number };

/** What a pour is drawn from: a bottle or jug by volume, or dry powder by mass. */
export type Source =
  | { from: "vessel"; vessel: Id; amount: VolumeAmount }
  | { from: "powder"; dye: Id; amount: PowderAmount };

/** One pour into one pan. No shares means that it goes into the bath of a pan without skeins. */
export type Pour = {
  source: Source;
  pan: Id;
  shares: readonly Share[];
  technique: Technique;
  /** The share of each skein that the pour touches, above 0 and at most 1. */
  coverage: number;
  placement?: string;
};

export type Heating = "stove" | "oven" | "steam" | "rest";
export type Addition = "water" | "acid" | "salt";

/** An amount of a bath addition: liquids by volume, crystals by mass. */
export type AdditionAmount = { volumeUl: number } | { massUg: number };

/** One line of the pour sheet. */
export type Step =
  | {
      id: Id;
      kind: "pour";
      pour: Pour;
      /** Over all that lies in the pan when it is poured, by weight; `shares` say what was planned. */
      whole?: boolean;
    }
  | { id: Id; kind: "add"; pan: Id; what: Addition; label: string; amount: AdditionAmount }
  | {
      id: Id;
      kind: "heat";
      how: Heating;
      pan: Id;
      seconds: number;
      celsius?: number;
      waitingFor: string;
      /** True when the session waits for it; false when other pans go on meanwhile. */
      wait: boolean;
    };

/** All that a pour sheet says, in exact units, as it enters the record. */
export type Setup = {
  name: string;
  dyes: Readonly<Record<Id, Dye>>;
  bases: Readonly<Record<Id, Base>>;
  stocks: Readonly<Record<Id, Stock>>;
  colourways: Readonly<Record<Id, Colourway>>;
  pans: Readonly<Record<Id, Pan>>;
  skeins: Readonly<Record<Id, Skein>>;
  steps: readonly Step[];
  /** Amounts offered by one tap for an unplanned pour, in microlitres. */
  presetsUl: readonly number[];
};
