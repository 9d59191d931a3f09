import { randomUUID } from "node:crypto";
import express, { type Express, type RequestHandler } from "express";
import { openFile, writeFile } from "../../shared/plan/file.ts";
import { lastDrawnAt, nextFrom } from "../../shared/prepare/nextFrom.ts";
import type { Preparations } from "../prepare/preparations.ts";
import { preparationStream } from "../record/record.ts";
import type { Sessions } from "../session/sessions.ts";
import { refuse } from "./refuse.ts";

/** As much as `openFile` reads. */
const largest = "50mb";

/** Sessions as files, and the next plan from a session, for a paired tablet. */
export function files(
  app: Express,
  { preparations, sessions }: { preparations: Preparations; sessions: Sessions },
  paired: RequestHandler,
): void {
  app.get("/api/sessions/:id/file", paired, (request, response) => {
    const session = String(request.params.id);
    const events = session === preparationStream ? [] : sessions.eventsAfter(session, 0);
    if (events.length === 0) {
      refuse(response, 404, "unknownSession", "There is no such session in the record.");
      return;
    }
    response
      .set("Cache-Control", "no-store")
      .attachment("session.json")
      .send(writeFile({ pourside: "session", session, events }));
  });

  // Read as bytes, so that what is wrong can be told line by line.
  const bytes = express.raw({ type: () => true, limit: largest });
  app.post("/api/sessions/file", paired, bytes, (request, response) => {
    const content: unknown = request.body;
    const opened = openFile(content instanceof Uint8Array ? content : "");
    if (!opened.ok) {
      response.status(422).json({ problems: opened.problems });
      return;
    }
    const { file } = opened;
    if (file.pourside !== "session") {
      const say = `This is a ${file.pourside}, not a session. Open it under Files.`;
      response.status(422).json({ problems: [{ line: 1, at: "", say }] });
      return;
    }
    const brought = sessions.importSession(file.session, file.events);
    if (brought.ok) {
      const { there } = brought;
      response.status(there ? 200 : 201).json({ session: file.session, there });
    } else refuse(response, 409, brought.code, brought.say);
  });

  app.post("/api/sessions/:id/plan", paired, (request, response) => {
    const session = String(request.params.id);
    const lines = sessions.list();
    const line = lines.find(({ id }) => id === session);
    const state = line && sessions.state(session);
    if (!line || !state) {
      const say = "There is no such session in the record, or it cannot be read.";
      refuse(response, 404, "unknownSession", say);
      return;
    }
    // A session that drew on no bottle knows no better what is left in one.
    const own = lastDrawnAt(state) ?? line.openedAt;
    const later = lines
      .flatMap(({ id }) => (id === session ? [] : (sessions.state(id) ?? [])))
      .flatMap((other) => {
        const at = lastDrawnAt(other);
        return at !== null && at > own ? [{ at, bench: other.bench }] : [];
      })
      .sort((a, b) => a.at - b.at)
      .map(({ bench }) => bench);
    const plan = randomUUID();
    const next = nextFrom(state, preparations.prepared, plan, later);
    const made = preparations.make(next.change);
    if (!made.ok) refuse(response, 409, made.code, made.say);
    else {
      response.status(201).json({
        plan,
        name: next.plan.name,
        bottles: next.bottles,
        seq: made.seq,
      });
    }
  });
}
