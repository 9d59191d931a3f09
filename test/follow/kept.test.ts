import { describe, expect, test } from "vitest";
import { type Choices, choicesFor, keep, noChoices } from "../../overlay/follow/kept.ts";

class Drawer implements Storage {
  private readonly held = new Map<string, string>();
  constructor(text?: string) {
    if (text !== undefined) this.held.set("pourside.follow", text);
  }
  get length() {
    return this.held.size;
  }
  clear = () => this.held.clear();
  getItem = (key: string) => this.held.get(key) ?? null;
  key = () => null;
  removeItem = (key: string) => void this.held.delete(key);
  setItem = (key: string, value: string) => void this.held.set(key, value);
}

const mine: Choices = {
  fibre: { of: "skein", massUg: 37_000_000 },
  dyePct: { saltmarsh: 0.5 },
  mixPct: {},
  powder: true,
  otherYarn: true,
  toolId: "syringe10",
  dropUl: 50,
  kitchen: true,
  large: true,
};

describe("what a viewer chose", () => {
  test("is there again for the same session", () => {
    const drawer = new Drawer();
    keep("evening", mine, () => drawer);
    expect(choicesFor("evening", () => drawer)).toEqual(mine);
  });

  test("is only the tool and the reading in another session, whose dyes and skeins are others", () => {
    const drawer = new Drawer();
    keep("evening", mine, () => drawer);
    expect(choicesFor("morning", () => drawer)).toEqual({
      ...noChoices,
      toolId: "syringe10",
      dropUl: 50,
      kitchen: true,
      large: true,
    });
  });

  test("may be one colourway alone", () => {
    const drawer = new Drawer();
    const fibre = { of: "colourway", colourway: "Ebb", massUg: 37_000_000 } as const;
    keep("evening", { ...mine, fibre }, () => drawer);
    expect(choicesFor("evening", () => drawer).fibre).toEqual(fibre);
  });

  test("is kept for a few sessions and no more", () => {
    const drawer = new Drawer();
    for (let n = 1; n <= 20; n += 1) keep(`s${n}`, mine, () => drawer);
    expect(choicesFor("s20", () => drawer).fibre).toEqual(mine.fibre);
    expect(choicesFor("s1", () => drawer).fibre).toEqual(noChoices.fibre);
  });

  test("is nothing where storage is refused, and keeping it does no harm", () => {
    const refused = (): Storage => {
      throw new Error("denied");
    };
    expect(() => keep("evening", mine, refused)).not.toThrow();
    expect(choicesFor("evening", refused)).toEqual(noChoices);
  });

  test.each([
    "",
    "not JSON",
    "null",
    "[]",
    '{"sessions": 5, "toolId": {}, "dropUl": -1}',
    '{"sessions": [[1, 2], ["evening", null], null]}',
    '{"sessions": [["evening", {"fibre": {"of": "skein", "massUg": -5}, "dyePct": {"a": 0, "b": "1"}}]]}',
    '{"sessions": [["evening", {"fibre": {"of": "set", "massUg": 1e400}, "mixPct": {"a": 101}}]]}',
  ])("is nothing where what was kept reads %j", (text) => {
    expect(choicesFor("evening", () => new Drawer(text))).toEqual(noChoices);
  });
});
