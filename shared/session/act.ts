import type { RecordedSeen } from "../colour/seen.ts";
import type { PowderAmount, VolumeAmount } from "../dye/amount.ts";
import type { Addition, AdditionAmount, Heating, Id, Pan, Pour, Skein } from "./setup.ts";

export type Look = "clear" | "tinted" | "strong";

/** How much dye comes off a dyed skein, in its rinse water or onto a white cloth. */
export type Bleed = "clear" | "some" | "much";

/** A drawn part of a mix: so much from that bottle or jug. */
export type MixPart = { vessel: Id; volumeUl: number };
export type PowderPart = { dye: Id; massUg: number };

/** What was once written of an act and what it was in truth; `null` means that it never happened. */
export type Replacement = Extract<Act, { kind: "pour" | "add" }> | null;

/**
 * What happened at the bench. Acts are what undo takes back, last in first out, and what the
 * state of pans, skeins and bottles is made of.
 */
export type Act =
  | { kind: "pour"; step?: Id; pour: Pour }
  | { kind: "add"; step?: Id; pan: Id; what: Addition; label: string; amount: AdditionAmount }
  | { kind: "skip"; step: Id }
  | {
      kind: "mix";
      into: Id;
      /** Given when the bottle or jug is new; absent when one that exists is topped up. */
      made?: { name: string; as: "stock" | "jug" };
      parts: readonly MixPart[];
      powder: readonly PowderPart[];
      waterUl: number;
    }
  | {
      kind: "discard";
      vessel: Id;
      volumeUl: number;
      how: "tipped" | "spilled";
      /** How well the level was read that showed it, uL; absent where none was read. */
      leftPlusMinusUl?: number;
    }
  | {
      kind: "settle";
      vessel: Id;
      by: "level" | "weight";
      amounts: readonly { act: number; volumeUl: number; plusMinusUl: number }[];
      /** How well the level was read, uL; absent by weight. */
      leftPlusMinusUl?: number;
    }
  | { kind: "correct"; act: number; to: Replacement; reason: string }
  | { kind: "skeinNew"; skein: Skein }
  | { kind: "skeinMove"; skein: Id; from?: Id; to: Id | null }
  | { kind: "panNew"; pan: Pan }
  | { kind: "temperature"; pan: Id; celsius: number }
  | { kind: "look"; pan: Id; look: Look }
  | { kind: "bath"; pan: Id; fate: "kept" | "tipped" }
  | {
      kind: "timerStart";
      timer: Id;
      step?: Id;
      how: Heating;
      pan: Id;
      seconds: number;
      waitingFor: string;
      wait: boolean;
    }
  | { kind: "timerExtend"; timer: Id; seconds: number }
  | { kind: "timerStop"; timer: Id; step?: Id }
  | { kind: "note"; text: string; seen: "public" | "private" }
  /** `cloth`: what a white cloth pressed on the wet skein took up, where that was tried. */
  | { kind: "rinse"; skeins: readonly Id[]; water: Bleed; cloth?: Bleed; words: string }
  /** The dry, rinsed skein: its colour as seen, a photograph of it by its digest, or both. */
  | { kind: "result"; skein: Id; seen?: RecordedSeen; photograph?: string; words: string };

/**
 * An act in the record: its sequence number is its name. `at` is the tap's time, ms. `offAir`: it was
 * written after the session had been closed.
 */
export type Entry = { seq: number; at: number; act: Act; offAir?: true };

/** An amount that waits in a step, as the dyer has adjusted it before she pours. */
export type StepAmount =
  | { of: "volume"; amount: VolumeAmount }
  | { of: "powder"; amount: PowderAmount }
  | { of: "addition"; amount: AdditionAmount };
