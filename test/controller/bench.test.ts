import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type Correctable, draftOf, replacementOf } from "../../controller/bench/correction.ts";
import { countedName, freshId, freshLetter, freshName } from "../../controller/bench/fresh.ts";
import { linesOf } from "../../controller/bench/lines.ts";
import { liquorOf } from "../../controller/bench/mix.ts";
import { demandOn } from "../../controller/bench/planned.ts";
import { sayDemand } from "../../controller/bench/sayDemand.ts";
import { sentence } from "../../controller/bench/sentence.ts";
import { tooStrong } from "../../controller/bench/tooStrong.ts";
import { keyOf, typed } from "../../controller/bench/typing.ts";
import { UNITS, type Unit } from "../../controller/bench/unit.ts";
import demonstration from "../../server/session/harbour-at-dusk.json" with { type: "json" };
import { refused } from "../../shared/dye/refusal.ts";
import { type Command, idSchema } from "../../shared/session/command.ts";
import { decide } from "../../shared/session/decide.ts";
import { openSheet } from "../../shared/session/sheet.ts";
import { fold, type State, step } from "../../shared/session/state.ts";

function opened(): State {
  const sheet = openSheet(demonstration);
  if (!sheet.ok) throw new Error("the demonstration sheet cannot be read");
  const event = { type: "opened", setup: sheet.setup } as const;
  return fold("s", [{ seq: 1, at: 1, serverAt: 1, event }]);
}

function having(state: State, ...commands: Command[]): State {
  return commands.reduce((before, command) => {
    const at = before.seq * 1_000;
    const decision = decide(before, command, at);
    if (!decision.ok) throw new Error(decision.say);
    return decision.events.reduce(
      (now, event) => step(now, { seq: now.seq + 1, at, serverAt: at, event }),
      before,
    );
  }, state);
}

const live = () => having(opened(), { type: "goLive" });
const pour = (vessel: string, volumeUl: number): Command => ({
  type: "pour",
  pour: {
    source: {
      from: "vessel",
      vessel,
      amount: { how: "measured", volumeUl, plusMinusUl: 0 },
    },
    pan: "A",
    technique: "immersion",
    coverage: 1,
  },
});

const keyed = (keys: string, start = "", fresh = false) =>
  [...keys].reduce((text, key, i) => typed(text, key, fresh && i === 0), start);
const say = (unit: Unit, text: string) => {
  const answer = UNITS[unit].read(text);
  return refused(answer) ? answer.say : answer;
};

describe("typing on the keypad", () => {
  test("builds a number place by place", () => {
    expect(keyed("12.5")).toBe("12.5");
    expect(keyed("12.5.7")).toBe("12.57");
    expect(keyed(".5")).toBe("0.5");
    expect(keyed("05")).toBe("5");
    expect(keyed("00")).toBe("0");
    expect(keyed("12345678901")).toBe("1234567890");
  });

  test("begins anew on an amount that was offered, but rubs out and halves what is there", () => {
    expect(keyed("40", "37.5", true)).toBe("40");
    expect(keyed(".", "37.5", true)).toBe("0.");
    expect(typed("37.5", "rub", true)).toBe("37.");
    expect(typed("12", "½", true)).toBe("12.5");
    expect(typed("12.5", "½", false)).toBe("12.5");
    expect(typed("", "½", false)).toBe("0.5");
    expect(typed("12.5", "clear", false)).toBe("");
  });

  test("takes a real keyboard's digits, point, sign and comma, and leaves its other keys alone", () => {
    expect(keyOf("7", "Digit7")).toBe("7");
    expect(keyOf(",", "NumpadDecimal")).toBe(".");
    expect(keyOf(",", "Comma")).toBe(",");
    expect(keyOf("-", "Minus")).toBe("-");
    expect(keyOf("Backspace", "Backspace")).toBe("rub");
    expect(keyOf("PageDown", "PageDown")).toBeNull();
    expect(keyOf("Enter", "Enter")).toBeNull();
    expect(keyOf("a", "KeyA")).toBeNull();
  });
});

describe("what was typed", () => {
  test("becomes whole units, exactly", () => {
    expect(say("mL", "12.5")).toBe(12_500);
    expect(say("mL", "1,5")).toBe(1_500);
    expect(say("g", "0.06")).toBe(60_000);
    expect(say("drops", "24")).toBe(24);
    expect(say("%", "0.5")).toBe(0.5);
    expect(say("min", "2.5")).toBe(150);
    expect(say("°C", "0")).toBe(0);
  });

  test.each([
    ["mL", "-5", /below 0|without the minus|sign/],
    ["mL", "0", "Write more than 0, such as 12 mL or 1/2 cup."],
    ["mL", "1,250", /1\.25.* or 1250/],
    ["mL", "-", /\.$/],
    ["g", "0", /Write more than 0/],
    ["drops", "2.5", "These are counted whole: write 12 or 13, nothing between."],
    ["drops", "0", /Write more than 0/],
    ["%", "0", /Write more than 0/],
    ["%", "101", /more than 100/],
    ["%", "-1", /\.$/],
    ["min", "0", /Write more than 0/],
  ] as const)("in %s as %s gets a sentence that says what to change", (unit, text, sentence) => {
    const said = say(unit, text);
    if (sentence instanceof RegExp) expect(said).toMatch(sentence);
    else expect(said).toBe(sentence);
  });

  test("is written back as it was meant", () => {
    fc.assert(
      fc.property(
        fc.constantFrom<Unit>("mL", "g", "drops"),
        fc.integer({ min: 1, max: 100_000_000 }),
        (unit, value) => {
          expect(UNITS[unit].read(UNITS[unit].write(value))).toBe(value);
        },
      ),
    );
  });
});

describe("what is still asked of a bottle", () => {
  test("is the sum of its open pours, as adjusted", () => {
    // 20 + 37.5 + 60 mL in the demonstration sheet.
    expect(demandOn(opened(), "saltmarsh")).toEqual({
      leftUl: 250_000,
      plannedUl: 117_500,
      pours: 3,
      shortUl: 0,
    });
    const amount = { how: "measured", volumeUl: 300_000, plusMinusUl: 0 } as const;
    const adjusted = having(
      live(),
      { type: "choose", step: "s10" },
      { type: "adjust", expect: "s10", amount: { of: "volume", amount } },
    );
    expect(demandOn(adjusted, "saltmarsh")).toMatchObject({
      plannedUl: 397_500,
      shortUl: 147_500,
    });
    expect(demandOn(having(adjusted, { type: "skip", expect: "s10" }), "saltmarsh")).toMatchObject({
      plannedUl: 97_500,
      pours: 2,
    });
  });

  test("is said in words", () => {
    expect(sayDemand({ leftUl: 0, plannedUl: 0, pours: 0, shortUl: 0 })).toBe(
      "Nothing more is planned from it.",
    );
    expect(sayDemand({ leftUl: 10_000, plannedUl: 12_000, pours: 1, shortUl: 2_000 })).toBe(
      "12\u202fmL planned in 1 pour: 2\u202fmL short.",
    );
  });
});

describe("a mix before it is made", () => {
  test("is what the record says of it after it is made", () => {
    const state = live();
    const mix = {
      parts: [
        { vessel: "lantern", volumeUl: 12_500 },
        { vessel: "slipway", volumeUl: 7_333 },
      ],
      powder: [{ dye: "saltmarsh", massUg: 40_000 }],
      waterUl: 30_000,
    };
    const made = having(state, {
      type: "mix",
      into: "jug-1",
      made: { name: "Jug 1", as: "jug" },
      ...mix,
    });
    const { madeUl, madeUg } = made.bench.vessels["jug-1"]?.vessel ?? { madeUl: 0, madeUg: {} };
    expect(liquorOf(state.bench, mix)).toEqual({ volumeUl: madeUl, dyes: madeUg });
  });

  test("is nothing where a bottle does not hold so much", () => {
    const parts = [{ vessel: "lantern", volumeUl: 150_001 }];
    expect(liquorOf(opened().bench, { parts, powder: [], waterUl: 0 })).toBeNull();
  });

  test("cannot be stronger than 100 %", () => {
    expect(tooStrong({ volumeUl: 100_000, dyes: { a: 100_000_000 } })).toBeNull();
    expect(tooStrong({ volumeUl: 100_000, dyes: { a: 101_000_000 } })).toMatch(
      /^That would be 101\u202f%, and no stock is stronger than 100 %/,
    );
  });
});

describe("names that are offered", () => {
  test("are never taken already", () => {
    expect(freshName("Lantern", ["Lantern", "lantern 2"])).toBe("Lantern 3");
    expect(countedName("Jug", ["Jug 1", "Jug 3"])).toBe("Jug 2");
    expect(countedName("", ["1", "2", "tweed"])).toBe("3");
    expect(freshLetter(["A", "b"])).toBe("C");
    expect(freshLetter([..."ABCDEFGHIJKLMNOPQRSTUVWXYZ"])).toBe("Pan 27");
  });
});

test("the id of a new thing is never the one that another tablet gives, and is one to send", () => {
  const ids = Array.from({ length: 200 }, () => freshId("jug"));
  expect(new Set(ids).size).toBe(200);
  for (const id of ids) {
    expect(id).toMatch(/^jug-/);
    expect(idSchema.safeParse(id).success).toBe(true);
  }
});

describe("the record in lines", () => {
  test("has the newest first, with what was corrected, settled and taken out marked", () => {
    const unsettled = { how: "unsettled", volumeUl: 20_000, plusMinusUl: 5_000 } as const;
    const state = having(
      live(),
      pour("lantern", 12_000),
      pour("slipway", 8_000),
      {
        type: "pour",
        pour: {
          source: { from: "vessel", vessel: "deepwater", amount: unsettled },
          pan: "A",
          technique: "immersion",
          coverage: 1,
        },
      },
      { type: "note", text: "<b>later</b>", seen: "private" },
      { type: "correct", act: 3, to: null, reason: "" },
      {
        type: "read",
        vessel: "deepwater",
        reading: { by: "level", leftUl: 178_000, plusMinusUl: 1_000 },
      },
    );
    const [lantern] = state.acts;
    if (lantern?.act.kind !== "pour") throw new Error("no pour");
    const corrected = having(state, {
      type: "correct",
      act: 4,
      to: replacementOf(lantern.act, draftOf(lantern.act)),
      reason: "another bottle",
    });
    const lines = linesOf(corrected).map(({ say, mark, was, truth }) => [
      say.replaceAll("\u202f", " "),
      mark,
      was?.replaceAll("\u202f", " ") ?? null,
      truth !== null,
    ]);
    expect(lines.at(-1)).toEqual(["12 mL Lantern 1 % into pan A", "taken out", null, false]);
    expect(lines.at(-2)).toEqual([
      "12 mL Lantern 1 % into pan A",
      "corrected",
      "8 mL Slipway 0.5 % into pan A",
      true,
    ]);
    expect(lines.at(-3)).toEqual([
      "22 mL Deepwater 1 % into pan A",
      "settled",
      "about 20 mL Deepwater 1 % into pan A",
      true,
    ]);
    expect(lines.at(-4)?.slice(1)).toEqual(["as written", null, false]);
  });
});

describe("a correction", () => {
  const drops: Command = {
    type: "pour",
    pour: {
      source: {
        from: "vessel",
        vessel: "deepwater",
        amount: { how: "measured", volumeUl: 1_200, plusMinusUl: 0, drops: 24 },
      },
      pan: "C",
      skeins: ["6"],
      technique: "dripped",
      coverage: 0.05,
      placement: "along the hank",
    },
  };
  const correctables = (): { state: State; seq: number; was: Correctable }[] => {
    const state = having(
      live(),
      pour("lantern", 12_000),
      drops,
      {
        type: "pour",
        pour: {
          source: {
            from: "powder",
            dye: "slipway",
            amount: { how: "estimated", massUg: 60_000, plusMinusUg: 20_000 },
          },
          pan: "A",
          skeins: ["1"],
          technique: "speckled",
          coverage: 0.08,
        },
      },
      { type: "add", pan: "B", what: "salt", label: "salt", amount: { massUg: 5_000_000 } },
    );
    return state.acts.flatMap(({ seq, act }) =>
      act.kind === "pour" || act.kind === "add" ? [{ state, seq, was: act }] : [],
    );
  };

  test("that changes nothing leaves every skein and bottle as it was", () => {
    for (const { state, seq, was } of correctables()) {
      const to = replacementOf(was, draftOf(was));
      const same = having(state, { type: "correct", act: seq, to, reason: "" });
      expect(same.bench.skeins).toEqual(state.bench.skeins);
      expect(same.bench.vessels).toEqual(state.bench.vessels);
      expect(same.bench.pans).toEqual(state.bench.pans);
    }
  });

  test("in drops keeps the size of the drop", () => {
    const was = correctables()[1]?.was;
    if (!was) throw new Error("no drops");
    const to = replacementOf(was, { ...draftOf(was), value: 30 });
    expect(to).toMatchObject({
      pour: { source: { amount: { volumeUl: 1_500, drops: 30 } }, coverage: 0.05 },
    });
  });

  test("keeps the doubt in proportion to the amount, in volume, drops and powder", () => {
    const [liquid, drops, powder] = correctables().map(({ was }) => was);
    if (liquid?.kind !== "pour" || liquid.pour.source.from !== "vessel") throw new Error("no pour");
    const { pour } = liquid;
    const amount = { how: "estimated", volumeUl: 40_000, plusMinusUl: 10_000 } as const;
    const about: Correctable = {
      kind: "pour",
      pour: { ...pour, source: { ...liquid.pour.source, amount } },
    };
    expect(replacementOf(about, { ...draftOf(about), value: 2_000 })).toMatchObject({
      pour: { source: { amount: { how: "estimated", volumeUl: 2_000, plusMinusUl: 500 } } },
    });
    if (drops?.kind !== "pour" || drops.pour.source.from !== "vessel") throw new Error("no drops");
    const counted: Correctable = {
      kind: "pour",
      pour: {
        ...drops.pour,
        source: {
          ...drops.pour.source,
          amount: { how: "estimated", volumeUl: 1_200, plusMinusUl: 200, drops: 24 },
        },
      },
    };
    expect(replacementOf(counted, { ...draftOf(counted), value: 3 })).toMatchObject({
      pour: { source: { amount: { volumeUl: 150, plusMinusUl: 25, drops: 3 } } },
    });
    if (!powder) throw new Error("no powder");
    expect(replacementOf(powder, { ...draftOf(powder), value: 6_000 })).toMatchObject({
      pour: { source: { amount: { massUg: 6_000, plusMinusUg: 2_000 } } },
    });
  });

  test("waits for an amount and for at least one skein", () => {
    const [{ was } = { was: null }] = correctables();
    if (!was) throw new Error("no pour");
    expect(replacementOf(was, { ...draftOf(was), value: null })).toBeNull();
    expect(replacementOf(was, { ...draftOf(was), skeins: [] })).toBeNull();
  });
});

test("a sentence begins with a capital, in any script", () => {
  expect(sentence("pan A")).toBe("Pan A");
  expect(sentence("élan")).toBe("Élan");
  expect(sentence("🌊 tide")).toBe("🌊 tide");
  expect(sentence("")).toBe("");
});
