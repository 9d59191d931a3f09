import { describe, expect, test } from "vitest";
import { left } from "../../shared/dye/vessel.ts";
import { currentStep } from "../../shared/session/state.ts";
import { Desk, pourOf } from "../scenario/desk.ts";

const leftUl = (desk: Desk, id: string) => {
  const vessel = desk.state.bench.vessels[id];
  return vessel ? left(vessel.vessel).volumeUl : null;
};

describe("a session", () => {
  test("is poured only when it is live, and prepared before", () => {
    const desk = new Desk();
    expect(desk.refusal({ type: "advance", expect: "s1" }).code).toBe("notLive");
    desk.must({
      type: "mix",
      into: "jug1",
      made: { name: "Jug 1", as: "jug" },
      parts: [{ vessel: "lantern", volumeUl: 1000 }],
      powder: [],
      waterUl: 0,
    });
    desk.must({ type: "goLive" });
    expect(desk.refusal({ type: "goLive" }).code).toBe("live");
    desk.advance();
  });

  test("that is closed takes nothing until it is reopened", () => {
    const desk = Desk.live();
    desk.must({ type: "close" });
    expect(desk.refusal({ type: "pour", pour: pourOf("lantern", 1000) }).code).toBe("closed");
    expect(desk.refusal({ type: "close" }).code).toBe("closed");
    desk.must({ type: "reopen" });
    expect(desk.refusal({ type: "reopen" }).code).toBe("open");
    desk.must({ type: "pour", pour: pourOf("lantern", 1000) });
  });
});

describe("moving through the pour sheet", () => {
  test("a step that is no longer current changes nothing and says so", () => {
    const desk = Desk.live();
    desk.advance();
    const seq = desk.state.seq;
    expect(desk.refusal({ type: "advance", expect: "s1" })).toEqual({
      code: "stale",
      say: "Another step is current now. Nothing was changed; look again and tap.",
    });
    expect(desk.state.seq).toBe(seq);
  });

  test("a second press within 400 ms is not counted, one after that is", () => {
    const desk = Desk.live();
    desk.advance();
    expect(desk.refusal({ type: "advance", expect: "s2" }, 399).code).toBe("bounce");
    expect(desk.try({ type: "advance", expect: "s2" }, 1).ok).toBe(true);
  });

  test("an adjusted amount is what goes in, and stays when the pour is undone", () => {
    const desk = Desk.live();
    desk.until("s2");
    const amount = { how: "measured", volumeUl: 42_000, plusMinusUl: 0 } as const;
    desk.must({ type: "adjust", expect: "s2", amount: { of: "volume", amount } });
    desk.advance();
    expect(leftUl(desk, "lantern")).toBe(108_000);
    desk.undo();
    expect(leftUl(desk, "lantern")).toBe(150_000);
    expect(currentStep(desk.state)?.id).toBe("s2");
    desk.advance();
    expect(leftUl(desk, "lantern")).toBe(108_000);
  });

  test("an amount of another kind does not fit a step", () => {
    const desk = Desk.live();
    const amount = { how: "measured", volumeUl: 1000, plusMinusUl: 0 } as const;
    const wish = { type: "adjust", expect: "s1", amount: { of: "volume", amount } } as const;
    expect(desk.refusal(wish).code).toBe("otherAmount");
  });

  test("a step chosen out of turn goes first, then the sheet goes on where it was", () => {
    const desk = Desk.live();
    desk.must({ type: "choose", step: "s10" });
    expect(currentStep(desk.state)?.id).toBe("s10");
    desk.advance();
    expect(currentStep(desk.state)?.id).toBe("s1");
    expect(desk.refusal({ type: "choose", step: "s10" }).code).toBe("stepDone");
    expect(desk.refusal({ type: "choose", step: "s99" }).code).toBe("unknownStep");
  });

  test("a skipped step leaves the bottle alone and comes back with undo", () => {
    const desk = Desk.live();
    desk.until("s2");
    desk.must({ type: "skip", expect: "s2" });
    expect(leftUl(desk, "lantern")).toBe(150_000);
    expect(currentStep(desk.state)?.id).toBe("s3");
    desk.undo();
    expect(currentStep(desk.state)?.id).toBe("s2");
  });

  test("a heat step that nobody waits for runs while the next pan is poured", () => {
    const desk = Desk.live();
    desk.until("s6");
    desk.advance();
    expect(currentStep(desk.state)?.id).toBe("s7");
    const [timer] = Object.values(desk.state.bench.timers);
    expect(timer).toMatchObject({ pan: "A", how: "steam", seconds: 1500, stoppedAt: null });
  });

  test("a step that is waited for stays until it is ended", () => {
    const desk = Desk.live();
    desk.until("s22");
    desk.advance();
    expect(currentStep(desk.state)?.id).toBe("s22");
    expect(desk.state.bench.steps.s22?.status).toBe("running");
    desk.advance();
    expect(currentStep(desk.state)).toBeNull();
    expect(desk.state.bench.steps.s22?.status).toBe("done");
  });

  test("a pour whose skeins have left the pan is refused rather than poured into the bath", () => {
    const desk = Desk.live();
    desk.until("s3");
    desk.must({ type: "skeinMove", skein: "2", to: null });
    expect(desk.refusal({ type: "advance", expect: "s3" }).code).toBe("skeinsGone");
  });
});

describe("undo", () => {
  test("takes back the last act only, and not twice for two taps", () => {
    const desk = Desk.live();
    desk.must({ type: "pour", pour: pourOf("lantern", 5000) });
    desk.must({ type: "pour", pour: pourOf("slipway", 5000) });
    const last = desk.state.seq;
    desk.must({ type: "undo", expect: last });
    expect(desk.refusal({ type: "undo", expect: last }).code).toBe("stale");
    expect(leftUl(desk, "lantern")).toBe(145_000);
    expect(leftUl(desk, "slipway")).toBe(200_000);
  });

  test("has nothing to say to what is only shown", () => {
    const desk = Desk.live();
    const parts = { depth: true, rule: true, timers: true, count: true };
    desk.must({ type: "show", view: "tally", parts });
    expect(desk.refusal({ type: "undo", expect: 3 }).code).toBe("nothingToUndo");
  });

  test("takes back a correction before what it corrected", () => {
    const desk = Desk.live();
    const act = desk.must({ type: "pour", pour: pourOf("lantern", 5000) });
    const to = { kind: "pour", pour: pourOf("lantern", 8000) } as const;
    desk.must({ type: "correct", act, to, reason: "misread" });
    expect(leftUl(desk, "lantern")).toBe(142_000);
    desk.undo();
    expect(leftUl(desk, "lantern")).toBe(145_000);
    desk.undo();
    expect(leftUl(desk, "lantern")).toBe(150_000);
  });
});

describe("a planned pour over the whole pan", () => {
  test("goes over the skeins that lie there when it is poured", () => {
    const desk = Desk.live();
    desk.until("s2");
    desk.must({ type: "skeinMove", skein: "3", to: "A" });
    desk.advance();
    const [poured] = desk.state.bench.poured;
    expect(poured?.doses.map(({ skein, dyes }) => [skein, dyes.lantern])).toEqual([
      ["1", 133_334],
      ["2", 133_333],
      ["3", 133_333],
    ]);
  });
});

describe("a second tap within 400 ms", () => {
  test("does not take a second act back", () => {
    const desk = Desk.live();
    desk.must({ type: "pour", pour: pourOf("lantern", 5000) });
    desk.must({ type: "pour", pour: pourOf("slipway", 5000) });
    desk.undo();
    const expectAct = desk.state.acts.at(-1)?.seq ?? 0;
    expect(desk.refusal({ type: "undo", expect: expectAct }, 399).code).toBe("bounce");
    expect(desk.try({ type: "undo", expect: expectAct }, 1).ok).toBe(true);
  });
});

describe("a correction", () => {
  test("that would leave powder without liquid is refused", () => {
    const desk = Desk.live();
    const act = desk.must({ type: "pour", pour: pourOf("deepwater", 100_000) });
    const powder = [{ dye: "deepwater", massUg: 500_000 }];
    desk.must({ type: "mix", into: "deepwater", parts: [], powder, waterUl: 0 });
    const to = { kind: "pour", pour: pourOf("deepwater", 200_000) } as const;
    expect(desk.refusal({ type: "correct", act, to, reason: "" }).code).toBe("empty");
  });

  test("of a pour into a bare bath stays with the skein that took it up", () => {
    const desk = Desk.live();
    const move = (skein: string, to: string | null) => desk.must({ type: "skeinMove", skein, to });
    move("3", null);
    move("4", null);
    const act = desk.must({ type: "pour", pour: pourOf("lantern", 30_000, { pan: "B" }) });
    move("3", "B");
    move("3", null);
    move("4", "B");
    const to = { kind: "pour", pour: pourOf("lantern", 31_000, { pan: "B" }) } as const;
    desk.must({ type: "correct", act, to, reason: "" });
    expect(desk.state.bench.skeins["3"]?.dyes).toEqual({ lantern: 310_000 });
    expect(desk.state.bench.skeins["4"]?.dyes).toEqual({});
  });

  test("moves the dye to the right bottle and the right skeins", () => {
    const desk = Desk.live();
    const act = desk.must({ type: "pour", pour: pourOf("lantern", 5000) });
    const pour = pourOf("slipway", 6000, { skeins: ["2"] });
    desk.must({ type: "correct", act, to: { kind: "pour", pour }, reason: "wrong bottle" });
    expect(leftUl(desk, "lantern")).toBe(150_000);
    expect(leftUl(desk, "slipway")).toBe(194_000);
    expect(desk.state.bench.skeins["1"]?.dyes).toEqual({});
    expect(desk.state.bench.skeins["2"]?.dyes).toEqual({ slipway: 30_000 });
    expect(desk.state.bench.poured[0]).toMatchObject({ act, corrected: true });
  });

  test("reaches through a jug that was mixed from the wrong amount", () => {
    const desk = Desk.live();
    const made = { name: "Jug 1", as: "jug" } as const;
    const dilute = (volumeUl: number) =>
      ({
        type: "mix",
        into: "jug1",
        parts: [{ vessel: "lantern", volumeUl }],
        powder: [],
        waterUl: 10_000,
      }) as const;
    desk.must({ ...dilute(10_000), made });
    const act = desk.must({ type: "pour", pour: pourOf("jug1", 10_000) });
    expect(desk.state.bench.poured[0]?.dyes).toEqual({ lantern: 50_000 });
    const to = { kind: "pour", pour: pourOf("jug1", 20_001) } as const;
    expect(desk.refusal({ type: "correct", act, to, reason: "" }).code).toBe("tooMuch");
    expect(desk.state.bench.poured[0]?.dyes).toEqual({ lantern: 50_000 });
  });

  test("to another pan goes over the skeins that lie there", () => {
    const desk = Desk.live();
    const act = desk.must({ type: "pour", pour: pourOf("lantern", 6000) });
    const pour = pourOf("lantern", 6000, { pan: "B" });
    desk.must({ type: "correct", act, to: { kind: "pour", pour }, reason: "wrong pan" });
    expect(desk.state.bench.skeins["1"]?.dyes).toEqual({});
    expect(desk.state.bench.skeins["3"]?.dyes).toEqual({ lantern: 30_000 });
  });

  test("keeps the skeins that have left the pan since", () => {
    const desk = Desk.live();
    const act = desk.must({ type: "pour", pour: pourOf("lantern", 6000) });
    desk.must({ type: "skeinMove", skein: "1", to: "C" });
    const pour = pourOf("lantern", 8000);
    desk.must({ type: "correct", act, to: { kind: "pour", pour }, reason: "" });
    expect(desk.state.bench.skeins["1"]?.dyes).toEqual({ lantern: 40_000 });
  });

  test("can say that a pour never happened, once", () => {
    const desk = Desk.live();
    const act = desk.must({ type: "pour", pour: pourOf("lantern", 5000) });
    desk.must({ type: "correct", act, to: null, reason: "never poured" });
    expect(leftUl(desk, "lantern")).toBe(150_000);
    expect(desk.state.bench.poured).toEqual([]);
    expect(desk.refusal({ type: "correct", act, to: null, reason: "" }).code).toBe("takenOut");
    expect(desk.refusal({ type: "correct", act: 1, to: null, reason: "" }).code).toBe("unknownAct");
  });

  test("that would leave a later pour without its dye is refused", () => {
    const desk = Desk.live();
    const act = desk.must({ type: "pour", pour: pourOf("deepwater", 100_000) });
    desk.must({ type: "pour", pour: pourOf("deepwater", 90_000) });
    const to = { kind: "pour", pour: pourOf("deepwater", 120_000) } as const;
    const { code, say } = desk.refusal({ type: "correct", act, to, reason: "" });
    expect(code).toBe("tooMuch");
    expect(say).toContain("Deepwater");
    expect(leftUl(desk, "deepwater")).toBe(10_000);
  });
});

describe("an amount that is settled later", () => {
  const unsettled = (volumeUl: number, plusMinusUl: number) =>
    pourOf("saltmarsh", volumeUl, {
      source: {
        from: "vessel",
        vessel: "saltmarsh",
        amount: { how: "unsettled", volumeUl, plusMinusUl },
      },
    });

  test("becomes what the bottle's level says", () => {
    const desk = Desk.live();
    desk.must({ type: "pour", pour: unsettled(20_000, 10_000) });
    const reading = { by: "level", leftUl: 226_000, plusMinusUl: 1000 } as const;
    desk.must({ type: "read", vessel: "saltmarsh", reading });
    const [poured] = desk.state.bench.poured;
    expect(poured?.pour.source).toMatchObject({
      amount: { how: "measured", volumeUl: 24_000, plusMinusUl: 1000 },
    });
    expect(poured?.dyes).toEqual({ saltmarsh: 240_000 });
    expect(poured?.corrected).toBe(false);
    expect(desk.state.bench.skeins["1"]?.plusMinusUg).toEqual({ saltmarsh: 5000 });
    expect(leftUl(desk, "saltmarsh")).toBe(226_000);
    desk.undo();
    expect(leftUl(desk, "saltmarsh")).toBe(230_000);
  });

  test("is shared in proportion when several were poured before the bottle was weighed", () => {
    const desk = Desk.live();
    desk.must({ type: "pour", pour: unsettled(10_000, 5000) });
    desk.must({ type: "pour", pour: unsettled(20_000, 5000) });
    const reading = {
      by: "weight",
      beforeUg: 400_000_000,
      afterUg: 367_000_000,
      plusMinusUg: 500_000,
    } as const;
    desk.must({ type: "read", vessel: "saltmarsh", reading });
    const volumes = desk.state.bench.poured.map(({ pour }) =>
      pour.source.from === "vessel" ? pour.source.amount.volumeUl : 0,
    );
    expect(volumes).toEqual([11_000, 22_000]);
    expect(leftUl(desk, "saltmarsh")).toBe(217_000);
  });

  test("stays when the reading cannot be", () => {
    const desk = Desk.live();
    desk.must({ type: "pour", pour: unsettled(10_000, 5000) });
    const none = { by: "level", leftUl: 250_000, plusMinusUl: 0 } as const;
    expect(desk.refusal({ type: "read", vessel: "saltmarsh", reading: none }).code).toBe(
      "nothingGone",
    );
    const reading = { by: "weight", beforeUg: 1e9, afterUg: 1e8, plusMinusUg: 0 } as const;
    expect(desk.refusal({ type: "read", vessel: "saltmarsh", reading }).code).toBe("tooMuch");
    const weight = { by: "weight", beforeUg: 3e8, afterUg: 2.7e8, plusMinusUg: 0 } as const;
    expect(desk.refusal({ type: "read", vessel: "lantern", reading: weight }).code).toBe(
      "nothingToSettle",
    );
  });

  test("by weight leaves out what was measured from the same bottle since", () => {
    const desk = Desk.live();
    desk.must({ type: "pour", pour: unsettled(10_000, 5000) });
    desk.must({ type: "pour", pour: pourOf("saltmarsh", 30_000) });
    const reading = {
      by: "weight",
      beforeUg: 400_000_000,
      afterUg: 358_000_000,
      plusMinusUg: 0,
    } as const;
    desk.must({ type: "read", vessel: "saltmarsh", reading });
    expect(desk.state.bench.poured[0]?.pour.source.amount).toMatchObject({ volumeUl: 12_000 });
    expect(leftUl(desk, "saltmarsh")).toBe(208_000);
  });

  test("is in doubt by what else was guessed from the same bottle", () => {
    const desk = Desk.live();
    const amount = { how: "estimated", volumeUl: 20_000, plusMinusUl: 5000 } as const;
    const source = { from: "vessel", vessel: "saltmarsh", amount } as const;
    desk.must({ type: "pour", pour: pourOf("saltmarsh", 20_000, { source }) });
    desk.must({ type: "pour", pour: unsettled(10_000, 3000) });
    const reading = { by: "level", leftUl: 220_000, plusMinusUl: 1000 } as const;
    desk.must({ type: "read", vessel: "saltmarsh", reading });
    expect(desk.state.bench.poured[1]?.pour.source.amount).toMatchObject({
      volumeUl: 10_000,
      plusMinusUl: 6000,
    });
  });

  test("a level with nothing to settle writes the difference as spilled", () => {
    const desk = Desk.live();
    const reading = { by: "level", leftUl: 245_000, plusMinusUl: 0 } as const;
    const near = { by: "level", leftUl: 249_000, plusMinusUl: 2000 } as const;
    expect(desk.refusal({ type: "read", vessel: "saltmarsh", reading: near }).code).toBe("same");
    desk.must({ type: "read", vessel: "saltmarsh", reading });
    expect(desk.state.bench.losses.spilled).toEqual({ saltmarsh: 50_000 });
    const more = { by: "level", leftUl: 246_000, plusMinusUl: 0 } as const;
    expect(desk.refusal({ type: "read", vessel: "saltmarsh", reading: more }).code).toBe(
      "moreThanBook",
    );
  });
});

describe("what cannot be is refused in words", () => {
  test("more than the bottle holds", () => {
    const desk = Desk.live();
    const { code, say } = desk.refusal({ type: "pour", pour: pourOf("lantern", 151_000) });
    expect(code).toBe("tooMuch");
    expect(say).toMatch(
      /^Lantern 1.% holds 150.mL, not 151.mL\. Pour less, or make up more first\.$/,
    );
    const hair = desk.refusal({ type: "pour", pour: pourOf("lantern", 150_010) });
    expect(hair.say).toMatch(/^Lantern 1.% holds 150.mL, 0\.01.mL too little\./);
  });

  test("names that lead nowhere", () => {
    const desk = Desk.live();
    const codes = [
      desk.refusal({ type: "pour", pour: pourOf("nowhere", 1000) }),
      desk.refusal({ type: "pour", pour: pourOf("lantern", 1000, { pan: "Z" }) }),
      desk.refusal({ type: "pour", pour: pourOf("lantern", 1000, { skeins: ["3"] }) }),
      desk.refusal({ type: "skeinMove", skein: "nobody", to: "A" }),
      desk.refusal({ type: "skeinMove", skein: "1", to: "A" }),
      desk.refusal({ type: "discard", vessel: "nowhere", volumeUl: 1, how: "tipped" }),
      desk.refusal({ type: "timerStop", timer: "none" }),
    ].map(({ code }) => code);
    expect(codes).toEqual([
      "unknownVessel",
      "unknownPan",
      "skeinNotThere",
      "unknownSkein",
      "same",
      "unknownVessel",
      "unknownTimer",
    ]);
  });

  test("a mix of nothing, into itself, or under a name that is taken", () => {
    const desk = Desk.live();
    const mix = { type: "mix", parts: [], powder: [], waterUl: 0 } as const;
    const made = { name: "x", as: "jug" } as const;
    const part = { vessel: "lantern", volumeUl: 1000 };
    expect(desk.refusal({ ...mix, into: "j", made }).code).toBe("empty");
    expect(desk.refusal({ ...mix, into: "lantern", parts: [part] }).code).toBe("intoItself");
    expect(desk.refusal({ ...mix, into: "slipway", made, parts: [part] }).code).toBe("taken");
    expect(desk.refusal({ ...mix, into: "none", parts: [part] }).code).toBe("unknownVessel");
    const powder = [{ dye: "lantern", massUg: 1 }];
    expect(desk.refusal({ ...mix, into: "j", made, powder }).code).toBe("empty");
    expect(desk.refusal({ ...mix, into: "j", made, waterUl: 1000 }).code).toBe("noDye");
    const heap = [{ dye: "lantern", massUg: 1_100_000 }];
    const { code, say } = desk.refusal({ ...mix, into: "j", made, powder: heap, waterUl: 1000 });
    expect(code).toBe("tooStrong");
    expect(say).toBe("There would be more dye than liquid in this mix. Add water.");
  });
});

describe("dye poured into a bath", () => {
  test("waits there for the skein that comes in, and is tipped with the bath otherwise", () => {
    const desk = Desk.live();
    desk.must({ type: "skeinMove", skein: "1", to: null });
    desk.must({ type: "skeinMove", skein: "2", to: null });
    desk.must({ type: "pour", pour: pourOf("lantern", 10_000) });
    expect(desk.state.bench.pans.A?.bathDyes).toEqual({ lantern: 100_000 });
    desk.must({ type: "skeinMove", skein: "tweed", to: "A" });
    expect(desk.state.bench.skeins.tweed?.dyes).toEqual({ lantern: 100_000 });
    expect(desk.state.bench.pans.A?.bathDyes).toEqual({});
    desk.must({ type: "skeinMove", skein: "tweed", to: null });
    desk.must({ type: "pour", pour: pourOf("lantern", 5000) });
    desk.must({ type: "bath", pan: "A", fate: "tipped" });
    expect(desk.state.bench.losses.tipped).toEqual({ lantern: 50_000 });
    expect(desk.state.bench.pans.A).toMatchObject({ bathUl: 0, fate: "tipped" });
  });
});
