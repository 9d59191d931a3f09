import express, { type Express, type RequestHandler } from "express";
import * as z from "zod";
import type { RelayLine } from "../relay/line.ts";
import { refuse } from "./refuse.ts";

const accessSchema = z.object({ address: z.string().max(300), key: z.string().max(300) });

/** What a paired controller asks of the way to the relay. The key itself is never told. */
export function relayDesk(app: Express, relay: RelayLine, paired: RequestHandler): void {
  app.get("/api/relay", paired, (_request, response) => {
    response.set("Cache-Control", "no-store").json(relay.report());
  });
  app.post("/api/relay", paired, express.json({ limit: "4kb" }), (request, response) => {
    const read = accessSchema.safeParse(request.body);
    if (!read.success) {
      refuse(response, 400, "unreadable", "Send the relay's address and its key.");
      return;
    }
    const refusal = relay.settle(read.data.address, read.data.key);
    if (refusal) refuse(response, 409, refusal.code, refusal.say);
    else response.json(relay.report());
  });
  app.post("/api/relay/renew", paired, async (_request, response) => {
    const refusal = await relay.renew();
    if (refusal) refuse(response, 409, refusal.code, refusal.say);
    else response.json(relay.report());
  });
  app.delete("/api/relay", paired, (_request, response) => {
    relay.forget();
    response.json(relay.report());
  });
}
