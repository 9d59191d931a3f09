import { type Refusal, refuse } from "./refusal.ts";

export type PanMetal = "stainless" | "aluminium" | "enamelled";

/** A pan on a ring, and what is to be warmed in it. */
export type Heating = {
  /** Liquor, uL, 0 or more; its specific heat is that of water. */
  bathUl: number;
  /** Dry fibre in it, ug, 0 or more. */
  fibreUg: number;
  /** The empty pan, ug, 0 or more. */
  panUg: number;
  metal: PanMetal;
  fromCelsius: number;
  toCelsius: number;
  roomCelsius: number;
  lid: boolean;
  /** Power of the ring, W, above 0. */
  ringWatts: number;
  /** Share of the ring's power that reaches the pan, above 0 to 1. */
  efficiency: number;
  /** The fastest rise that the dye allows, degrees a minute; left out, as fast as the ring can. */
  rampPerMin?: number;
};

/** Water, 15 to 90 C: 4.18 to 4.19 kJ/(kg K) (IAPWS-95); a litre is taken as a kilogram. */
export const WATER_J_PER_KG_K = 4_185;

/** Specific heats, J/(kg K), at room temperature (materials handbooks; values from memory). */
export const FIBRE_J_PER_KG_K = 1_360;
export const METAL_J_PER_KG_K: Readonly<Record<PanMetal, number>> = {
  stainless: 500,
  aluminium: 900,
  enamelled: 460,
};

/**
 * Heat lost, W a square metre and degree above the room: from walls or a lid by air and radiation,
 * and from open liquor, where most of it is vapour. Orders of magnitude, from memory; one timed
 * heating corrects for what they are off (`efficiencyFrom`).
 */
const WALL_W_PER_M2_K = 10;
const OPEN_W_PER_M2_K = 50;

/**
 * Time to warm a bath, seconds, rounded up.
 *
 * Method: energy balance C dT/dt = efficiency x power - k (T - room), with C the heat capacity of
 * liquor, fibre and pan, and the loss in proportion to how far the bath is above the room. k is that
 * of liquor and fibre as wide as they are high: walls, and a top with a lid or open. It has the closed
 * solution t = C/k ln((P - k (T0 - room)) / (P - k (T1 - room))), P being efficiency x power. Where
 * the dye's ramp is slower than the ring, the ramp decides.
 *
 * @returns 0 when it is that warm already; a refusal for an empty pan, and when the ring can never
 *   reach it
 */
export function heatSeconds(heating: Heating): number | Refusal {
  const { fromCelsius, toCelsius, rampPerMin } = heating;
  if (!(heating.ringWatts > 0) || !(heating.efficiency > 0)) {
    return refuse("heat.noPower", "Give the ring a power of more than 0 W.");
  }
  if (toCelsius <= fromCelsius) return 0;
  if (heating.bathUl + heating.fibreUg === 0) {
    return refuse("heat.nothing", "There is nothing in this pan to warm.");
  }
  const seconds = balanceSeconds(heating);
  if (!Number.isFinite(seconds)) {
    return refuse(
      "heat.never",
      `This ring cannot bring so much bath to ${Math.round(toCelsius)}\u202f\u00b0C: put the lid on, take a stronger ring or less water.`,
    );
  }
  const ramp = rampPerMin === undefined ? 0 : ((toCelsius - fromCelsius) / rampPerMin) * 60;
  return Math.ceil(Math.max(seconds, ramp));
}

/**
 * The share of a ring's power that reaches the pan, from one heating that was timed: the balance of
 * `heatSeconds` solved for it.
 *
 * @param heating what was heated; its own efficiency and ramp do not count
 * @param seconds how long it took, above 0
 * @returns above 0 to 1; a refusal when no ring of that power can have done it
 */
export function efficiencyFrom(heating: Heating, seconds: number): number | Refusal {
  const rise = heating.toCelsius - heating.fromCelsius;
  if (!(seconds > 0) || !(rise > 0) || !(heating.ringWatts > 0)) {
    return refuse("heat.noTiming", "Give a time above 0 in which the bath got warmer.");
  }
  const capacity = capacityJPerK(heating);
  const loss = lossWPerK(heating);
  const above = heating.fromCelsius - heating.roomCelsius;
  const kept = Math.exp((-loss * seconds) / capacity);
  const watts = loss === 0 ? (capacity * rise) / seconds : loss * (above + rise / (1 - kept));
  const efficiency = watts / heating.ringWatts;
  if (efficiency > 1) {
    return refuse(
      "heat.tooFast",
      "That is faster than the ring's whole power could do it: check the water, the time and the power.",
    );
  }
  return efficiency > 0
    ? efficiency
    : refuse("heat.noTiming", "Give a time above 0 in which the bath got warmer.");
}

/** Time to cool by itself to a temperature above the room's, seconds, rounded up; the same loss. */
export function coolSeconds(heating: Omit<Heating, "ringWatts" | "efficiency">): number | Refusal {
  const { fromCelsius, toCelsius, roomCelsius } = heating;
  if (toCelsius >= fromCelsius) return 0;
  if (toCelsius <= roomCelsius) {
    return refuse(
      "heat.belowRoom",
      "A bath cools no further than the room: choose a temperature above it.",
    );
  }
  const [loss, capacity] = [lossWPerK(heating), capacityJPerK(heating)];
  if (loss === 0 || capacity === 0) {
    return refuse("heat.nothing", "There is nothing in this pan to cool.");
  }
  const rate = loss / capacity;
  return Math.ceil(Math.log((fromCelsius - roomCelsius) / (toCelsius - roomCelsius)) / rate);
}

/**
 * Pressure of the standard atmosphere, kPa: 101.325 (1 - 0.0065 h / 288.15)^5.25588 (ISO 2533, up to
 * 11,000 m).
 *
 * @param altitudeM metres, -500 to 11,000
 */
export function pressureKpaAt(altitudeM: number): number {
  return 101.325 * (1 - (0.0065 * altitudeM) / 288.15) ** 5.25588;
}

/** IAPWS-IF97 region 4, the ten coefficients of its saturation equation (from memory, see the test). */
const N = [
  0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.1202082470247e5,
  -0.32325550322333e7, 0.1491510861353e2, -0.48232657361591e4, 0.40511340542057e6,
  -0.23855557567849, 0.65017534844798e3,
] as const;

/**
 * Temperature at which water boils under a pressure, degrees C: the backward saturation equation of
 * IAPWS-IF97 (region 4, equation 31).
 *
 * @param pressureKpa 0.7 to 22,064
 */
export function boilingCelsiusAt(pressureKpa: number): number {
  const [n1, n2, n3, n4, n5, n6, n7, n8, n9, n10] = N;
  const beta = (pressureKpa / 1_000) ** 0.25;
  const e = beta ** 2 + n3 * beta + n6;
  const f = n1 * beta ** 2 + n4 * beta + n7;
  const g = n2 * beta ** 2 + n5 * beta + n8;
  const d = (2 * g) / (-f - Math.sqrt(f ** 2 - 4 * e * g));
  const kelvin = (n10 + d - Math.sqrt((n10 + d) ** 2 - 4 * (n9 + n10 * d))) / 2;
  return kelvin - 273.15;
}

/** Temperature at which water boils at a height above the sea, degrees C. */
export function boilingCelsius(altitudeM: number): number {
  return boilingCelsiusAt(pressureKpaAt(altitudeM));
}

function balanceSeconds(heating: Heating): number {
  const { fromCelsius, toCelsius, roomCelsius, ringWatts, efficiency } = heating;
  const watts = ringWatts * efficiency;
  const capacity = capacityJPerK(heating);
  const loss = lossWPerK(heating);
  if (loss === 0) return (capacity * (toCelsius - fromCelsius)) / watts;
  const atStart = watts - loss * (fromCelsius - roomCelsius);
  const atEnd = watts - loss * (toCelsius - roomCelsius);
  return atEnd > 0 ? (capacity / loss) * Math.log(atStart / atEnd) : Number.POSITIVE_INFINITY;
}

type Vessel = Pick<Heating, "bathUl" | "fibreUg" | "panUg" | "metal" | "lid">;

function capacityJPerK({ bathUl, fibreUg, panUg, metal }: Vessel): number {
  return (
    (bathUl / 1e6) * WATER_J_PER_KG_K +
    (fibreUg / 1e9) * FIBRE_J_PER_KG_K +
    (panUg / 1e9) * METAL_J_PER_KG_K[metal]
  );
}

/** Wool is 1.31 g/mL (fibre handbooks; value from memory), so a ug of fibre takes this many uL. */
const UL_PER_UG_FIBRE = 1 / 1_310;

function lossWPerK({ bathUl, fibreUg, lid }: Vessel): number {
  const filledUl = bathUl + fibreUg * UL_PER_UG_FIBRE;
  const width = ((4 * filledUl) / 1e9 / Math.PI) ** (1 / 3);
  const top = (Math.PI * width ** 2) / 4;
  return Math.PI * width ** 2 * WALL_W_PER_M2_K + top * (lid ? WALL_W_PER_M2_K : OPEN_W_PER_M2_K);
}
