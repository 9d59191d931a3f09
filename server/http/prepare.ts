import express, { type Express, type RequestHandler } from "express";
import { setupOfPlan } from "../../shared/plan/setupOfPlan.ts";
import { prepareSchema } from "../../shared/prepare/change.ts";
import type { PrepareAnswer } from "../../shared/prepare/word.ts";
import { complaint } from "../../shared/session/command.ts";
import type { Preparations } from "../prepare/preparations.ts";
import type { Sessions } from "../session/sessions.ts";
import { refuse } from "./refuse.ts";

/** Shelf and plans, and what is made of a plan, for a paired tablet. */
export function prepareDesk(
  app: Express,
  { preparations, sessions }: { preparations: Preparations; sessions: Sessions },
  paired: RequestHandler,
): void {
  app.get("/api/preparation", paired, (_request, response) => {
    response.set("Cache-Control", "no-store").json(preparations.word());
  });
  app.post("/api/preparation", paired, express.json({ limit: "8mb" }), (request, response) => {
    const envelope = prepareSchema.safeParse(request.body);
    const answer: PrepareAnswer = envelope.success
      ? preparations.handle(envelope.data)
      : { ok: false, code: "unreadable", say: complaint(envelope.error) };
    response.status(answer.ok ? 200 : envelope.success ? 409 : 422).json(answer);
  });

  /** What a plan is on the bench, or every reason why it cannot be. */
  const setupOf = (id: string) => {
    const line = preparations.prepared.plans[id];
    return line && setupOfPlan(line.plan, preparations.prepared.shelf, preparations.paceNow());
  };
  app.post("/api/plans/:id/session", paired, (request, response) => {
    const id = String(request.params.id);
    const set = setupOf(id);
    if (!set) refuse(response, 404, "unknownPlan", "There is no such plan.");
    else if (!set.ok) {
      const problems = set.problems.map(({ place, say }) => ({ at: place.part, say }));
      response.status(422).json({ problems });
    } else response.status(201).json({ session: sessions.open(set.setup, id) });
  });
  app.post("/api/plans/:id/bench", paired, (request, response) => {
    const id = String(request.params.id);
    const set = setupOf(id);
    const state = sessions.onBench();
    if (!set) refuse(response, 404, "unknownPlan", "There is no such plan.");
    else if (state?.plan !== id) {
      refuse(response, 409, "otherPlan", "The session on the bench was not opened from this plan.");
    } else if (!set.ok) {
      const problems = set.problems.map(({ place, say }) => ({ at: place.part, say }));
      response.status(422).json({ problems });
    } else {
      const answer = sessions.replan(state.session, set.setup);
      response.status(answer.ok ? 200 : 409).json(answer);
    }
  });
}
