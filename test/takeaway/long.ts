import { type PublicView, publicView } from "../../shared/session/views/publicView.ts";
import { Desk, harbourSheet, setupOf } from "../scenario/desk.ts";

/** A session of many pours, each of another volume, of which so many are made. */
export function longSession(pours: number, made: number, name = "A long evening"): PublicView {
  const sheet = harbourSheet();
  sheet.name = name;
  for (const stock of sheet.stocks) stock.mL = 50_000;
  const kinds = sheet.steps.filter(({ kind }) => kind === "pour");
  sheet.steps = Array.from({ length: pours }, (_, at) => {
    const step = structuredClone(kinds[at % kinds.length]);
    if (step?.kind === "pour" && "mL" in step.amount) step.amount.mL += ((at * 37) % 100) / 10;
    return step;
  }) as typeof sheet.steps;
  const desk = new Desk(setupOf(sheet));
  desk.must({ type: "goLive" });
  for (let step = 0; step < made; step += 1) desk.advance();
  return publicView(desk.state);
}
