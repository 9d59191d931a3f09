import { describe, expect, test } from "vitest";
import { publicView } from "../../shared/session/views/publicView.ts";
import { Desk, pourOf } from "../scenario/desk.ts";

describe("what viewers may see", () => {
  test("says what the current pour brings to each skein", () => {
    const desk = Desk.live();
    desk.until("s11");
    const view = publicView(desk.state);
    const step = view.steps[view.current ?? ""];
    expect(step?.kind).toBe("pour");
    if (step?.kind !== "pour") return;
    expect(step.pour.title).toMatch(/^Saltmarsh 1.%$/);
    expect(step.pour.volumeUl).toBe(37_500);
    expect(step.pour.doses["4"]?.beforePct).toBeCloseTo(0.4, 10);
    expect(step.pour.doses["4"]?.afterPct).toBeCloseTo(0.775, 10);
  });

  test("what was announced for a pour is what the record says once it is poured", () => {
    const desk = Desk.live();
    for (let i = 0; i < 22; i++) {
      const before = publicView(desk.state);
      const step = before.steps[before.current ?? ""];
      desk.advance();
      if (step?.kind !== "pour") continue;
      const poured = publicView(desk.state).poured[desk.state.seq];
      expect(poured?.title).toBe(step.pour.title);
      for (const [skein, dose] of Object.entries(step.pour.doses)) {
        expect(poured?.doses[skein]?.afterPct).toBeCloseTo(dose.afterPct, 4);
        expect(poured?.doses[skein]?.localPct).toBeCloseTo(dose.localPct, 4);
      }
    }
  });

  test("drops on part of a skein have a local depth far above their average", () => {
    const desk = Desk.live();
    desk.until("s19");
    const view = publicView(desk.state);
    const step = view.steps.s19;
    if (step?.kind !== "pour") throw new Error("s19 is a pour");
    const dose = step.pour.doses["6"];
    // 24 drops of 0.05 mL at 1 % are 12 mg on 50 g: 0.024 %; on a twentieth of it 0.48 %.
    expect((dose?.afterPct ?? 0) - (dose?.beforePct ?? 0)).toBeCloseTo(0.024, 10);
    expect(dose?.localPct).toBeCloseTo(0.48, 10);
    expect(step.pour.drops).toBe(24);
  });

  test("gives the depth of a pan as all its dye on all its fibre", () => {
    const desk = Desk.live();
    desk.until("s3");
    // 40 mL at 1 % is 0.4 g on two skeins of 50 g.
    expect(publicView(desk.state).pans.A).toMatchObject({ fibreUg: 100_000_000, depthPct: 0.4 });
    expect(publicView(desk.state).pans.B?.depthPct).toBe(0);
  });

  test("holds no private note, and the public one", () => {
    const desk = Desk.live();
    desk.must({ type: "note", text: "door code 4711", seen: "private" });
    desk.must({ type: "note", text: "mind the draught", seen: "public" });
    const text = JSON.stringify(publicView(desk.state));
    expect(text).not.toContain("4711");
    expect(text).toContain("mind the draught");
  });

  test("keeps the strength a pour was made at when its bottle is topped up later", () => {
    const desk = Desk.live();
    const act = desk.must({ type: "pour", pour: pourOf("lantern", 10_000) });
    desk.must({ type: "mix", into: "lantern", parts: [], powder: [], waterUl: 140_000 });
    const view = publicView(desk.state);
    expect(view.vessels.lantern?.title).toMatch(/^Lantern 0\.5.%$/);
    expect(view.poured[act]?.title).toMatch(/^Lantern 1.%$/);
  });

  test("tells the hazards of all that is under way, most urgent first", () => {
    const desk = Desk.live();
    expect(publicView(desk.state).hazards).toEqual(["acid"]);
    desk.until("s5");
    expect(publicView(desk.state).hazards).toContain("dryPowder");
    desk.until("s8");
    const hazards = publicView(desk.state).hazards;
    expect(hazards).toContain("steam");
    expect(hazards).toContain("acid");
    expect(desk.refusal({ type: "close" })).toEqual({
      code: "stillHeating",
      say: "Pan A is still on the heat. See to it and end its timer, then close the session.",
    });
    const [timer = ""] = Object.keys(publicView(desk.state).timers);
    desk.must({ type: "timerStop", timer });
    desk.must({ type: "close" });
    expect(publicView(desk.state).hazards).toEqual([]);
  });

  test("warns of a hot pan until it has rested, and of the skein that is lifted out", () => {
    const desk = Desk.live();
    desk.until("s7");
    const [timer = ""] = Object.keys(publicView(desk.state).timers);
    desk.must({ type: "timerStop", timer });
    expect(publicView(desk.state).hazards).toContain("steam");
    desk.must({ type: "pour", pour: pourOf("lantern", 1000) });
    expect(publicView(desk.state).hazards).toContain("hotBath");
    desk.must({ type: "skeinMove", skein: "1", to: null });
    expect(publicView(desk.state).hazards).toContain("hotBath");
    desk.must({ type: "temperature", pan: "A", celsius: 30 });
    desk.must({ type: "pour", pour: pourOf("lantern", 1000) });
    expect(publicView(desk.state).hazards).not.toContain("hotBath");
  });

  test("has no null in it, so that a merge patch can carry every change", () => {
    const desk = Desk.live();
    desk.until("s22");
    expect(JSON.stringify(publicView(desk.state))).not.toMatch(/:null|,null|\[null/);
  });
});
