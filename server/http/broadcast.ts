import express, { type Express, type RequestHandler, type Response } from "express";
import * as z from "zod";
import { sceneKinds } from "../../shared/broadcast/binding.ts";
import { type Refusal, refuse } from "../../shared/dye/refusal.ts";
import type { Broadcast, ChapterFile } from "../broadcast/broadcast.ts";
import { bindingsSchema } from "../broadcast/scenes.ts";

const accessSchema = z.object({
  address: z.string().max(300),
  password: z.string().max(300).optional(),
});
const kindSchema = z.object({ kind: z.enum(sceneKinds) });
/** A day and a half to either side. */
const shiftSchema = z.object({ ms: z.int().min(-129_600_000).max(129_600_000) });

const files: Readonly<Record<string, { kind: ChapterFile; type: string }>> = {
  "chapters.txt": { kind: "description", type: "text/plain" },
  "chapters.vtt": { kind: "chapters", type: "text/vtt" },
  "captions.vtt": { kind: "captions", type: "text/vtt" },
};

const unreadable = refuse("unreadable", "This cannot be read. Send it as JSON.");

/** What a paired controller asks of the link to the broadcasting software. */
export function broadcastDesk(
  app: Express,
  broadcast: Broadcast,
  paired: RequestHandler,
  sessionOnBench: () => string | null,
): void {
  const json = express.json({ limit: "64kb" });
  const outcome = (response: Response, refusal: Refusal | null) => {
    if (refusal) response.status(409).json({ code: refusal.code, say: refusal.say });
    else response.json({ ok: true });
  };
  const taking = <T>(
    schema: z.ZodType<T>,
    work: (value: T) => Promise<Refusal | null> | Refusal | null,
  ) => {
    const handler: RequestHandler = async (request, response) => {
      const read = schema.safeParse(request.body);
      if (read.success) outcome(response, await work(read.data));
      else response.status(400).json(unreadable);
    };
    return [paired, json, handler];
  };

  app.get("/api/broadcast", paired, async (_request, response) => {
    response.set("Cache-Control", "no-store").json(await broadcast.report());
  });
  app.put(
    "/api/broadcast/access",
    taking(accessSchema, ({ address, password }) => broadcast.settle(address, password)),
  );
  app.delete("/api/broadcast/access", paired, (_request, response) => {
    broadcast.forget();
    outcome(response, null);
  });
  app.post("/api/broadcast/overlay", paired, async (_request, response) => {
    const placed = await broadcast.placeOverlay();
    response.status(placed.ok ? 200 : 409).json(placed);
  });
  app.post("/api/broadcast/texts", paired, async (_request, response) => {
    const placed = await broadcast.placeTexts();
    response.status(placed.ok ? 200 : 409).json(placed);
  });
  app.put(
    "/api/broadcast/scenes",
    taking(bindingsSchema, (bindings) => {
      broadcast.bind(bindings);
      return null;
    }),
  );
  app.post(
    "/api/broadcast/scene",
    taking(kindSchema, async ({ kind }) => {
      await broadcast.show(kind);
      return null;
    }),
  );
  app.post("/api/broadcast/follow", paired, async (_request, response) => {
    await broadcast.followAgain();
    outcome(response, null);
  });
  app.post("/api/broadcast/live-now", paired, (_request, response) => {
    outcome(response, broadcast.liveNow());
  });
  app.post(
    "/api/broadcast/own-clock",
    taking(shiftSchema, ({ ms }) => broadcast.shiftOwn(ms)),
  );
  app.put(
    "/api/broadcast/offset",
    taking(shiftSchema, ({ ms }) => broadcast.setOffset(ms)),
  );
  app.get("/api/broadcast/still", paired, async (request, response) => {
    const still = await broadcast.still(String(request.query.source ?? ""));
    if ("code" in still) response.status(409).json(still);
    else response.set("Cache-Control", "no-store").type("png").send(still);
  });
  app.get("/api/broadcast/events.json", paired, (request, response) => {
    const asked = request.query.session;
    const session = typeof asked === "string" ? asked : sessionOnBench();
    response.json(session === null ? [] : broadcast.timed(session));
  });
  for (const [name, { kind, type }] of Object.entries(files)) {
    app.get(`/api/broadcast/${name}`, paired, (request, response) => {
      const asked = request.query.session;
      const session = typeof asked === "string" ? asked : sessionOnBench();
      const run = typeof request.query.run === "string" ? request.query.run : undefined;
      const text =
        session === null
          ? refuse("noSession", "No session is on the bench yet.")
          : broadcast.file(kind, session, run);
      if (typeof text === "string") response.attachment(name).type(type).send(text);
      else response.status(409).json(text);
    });
  }
}
