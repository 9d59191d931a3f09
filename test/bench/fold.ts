import { readFileSync } from "node:fs";
import type { RecordedEvent } from "../../shared/session/event.ts";
import { fold } from "../../shared/session/state.ts";

/** What {@link Folded} tells of: how long each fold took, ms, the first one in a fresh process. */
export type Folded = { ms: readonly number[]; poured: number };

// Events come from text, as they come from the record.
const [file = "", runs = ""] = process.argv.slice(2);
const events = JSON.parse(readFileSync(file, "utf8")) as RecordedEvent[];
const ms: number[] = [];
let poured = 0;
for (let run = 0; run < Number(runs); run++) {
  const from = performance.now();
  const state = fold("season", events);
  ms.push(performance.now() - from);
  poured = state.bench.poured.length;
}
process.send?.({ ms, poured } satisfies Folded);
