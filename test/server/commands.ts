import type { Command } from "../../shared/session/command.ts";
import { allParts } from "../../shared/session/state.ts";
import { pourOf } from "../scenario/desk.ts";

/** One of each command that there is, such as a paired tablet might send. */
export const oneOfEach: { [Type in Command["type"]]: Extract<Command, { type: Type }> } = {
  goLive: { type: "goLive" },
  close: { type: "close" },
  reopen: { type: "reopen" },
  choose: { type: "choose", step: "s2" },
  adjust: {
    type: "adjust",
    expect: "s1",
    amount: { of: "addition", amount: { volumeUl: 25_000 } },
  },
  advance: { type: "advance", expect: "s1" },
  skip: { type: "skip", expect: "s1" },
  pour: { type: "pour", pour: pourOf("saltmarsh", 1000) },
  add: { type: "add", pan: "A", what: "water", label: "water", amount: { volumeUl: 100_000 } },
  mix: {
    type: "mix",
    into: "jug",
    made: { name: "Jug", as: "jug" },
    parts: [{ vessel: "saltmarsh", volumeUl: 1000 }],
    powder: [],
    waterUl: 10_000,
  },
  discard: { type: "discard", vessel: "saltmarsh", volumeUl: 1000, how: "spilled" },
  read: {
    type: "read",
    vessel: "saltmarsh",
    reading: { by: "level", leftUl: 200_000, plusMinusUl: 1000 },
  },
  undo: { type: "undo", expect: 3 },
  correct: { type: "correct", act: 3, to: null, reason: "" },
  skeinNew: { type: "skeinNew", skein: { id: "7", name: "7", base: "quay", massUg: 50_000_000 } },
  skeinMove: { type: "skeinMove", skein: "tweed", to: "A" },
  panNew: {
    type: "panNew",
    pan: { id: "D", name: "D", capacityUl: 3_000_000, waterUl: 1_000_000, method: "immersion" },
  },
  temperature: { type: "temperature", pan: "A", celsius: 85 },
  look: { type: "look", pan: "A", look: "clear" },
  bath: { type: "bath", pan: "A", fate: "kept" },
  timerStart: {
    type: "timerStart",
    timer: "kettle",
    how: "rest",
    pan: "A",
    seconds: 60,
    waitingFor: "the kettle",
  },
  timerExtend: { type: "timerExtend", timer: "kettle", seconds: 60 },
  timerStop: { type: "timerStop", timer: "kettle" },
  note: { type: "note", text: "by hand", seen: "public" },
  show: { type: "show", view: "tally", parts: allParts },
  showCode: { type: "showCode", address: "http://192.0.2.7:4707/follow" },
  after: {
    type: "after",
    command: { type: "rinse", skeins: ["1"], water: "clear", cloth: "some", words: "" },
  },
  holdBack: { type: "holdBack", seconds: 20 },
};
