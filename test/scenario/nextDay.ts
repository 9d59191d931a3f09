import type { AfterCommand } from "../../shared/session/command.ts";
import { Desk, pourOf } from "./desk.ts";

/**
 * A session that was looked at again the next day: of two pours one is corrected and one taken out,
 * a skein is dyed off air, and another is rinsed and photographed.
 */
export function nextDay(): { desk: Desk; corrected: number; takenOut: number; late: number } {
  const desk = Desk.live();
  const corrected = desk.must({ type: "pour", pour: pourOf("saltmarsh", 20_000) });
  const takenOut = desk.must({ type: "pour", pour: pourOf("lantern", 3_000) });
  desk.must({ type: "close" });
  const after = (command: AfterCommand) => desk.must({ type: "after", command });
  after({
    type: "correct",
    act: corrected,
    to: { kind: "pour", pour: pourOf("saltmarsh", 12_500) },
    reason: "misread the <syringe>",
  });
  after({ type: "correct", act: takenOut, to: null, reason: "it never went in" });
  const skein = { id: "late", name: "late", base: "quay", massUg: 50_000_000, pan: "C" };
  after({ type: "skeinNew", skein });
  const pour = pourOf("lantern", 5_000, { pan: "C", skeins: ["late"] });
  const late = after({ type: "pour", pour });
  after({ type: "rinse", skeins: ["1"], water: "some", cloth: "clear", words: "private words" });
  const seen = { how: "photographed", hex: "#4a7f96", spread: 1 } as const;
  after({ type: "result", skein: "1", seen, words: "private words" });
  return { desk, corrected, takenOut, late };
}
