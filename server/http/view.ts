import type { Express } from "express";
import { relayBenchHeader, relayClockHeader, relayViewPath } from "../../shared/session/wire.ts";
import type { Stage } from "../relay/stage.ts";
import { refuse } from "./refuse.ts";

export type ViewHouse = {
  stage: Stage;
  /** The bench's clock, ms. */
  clock(): number;
  benchThere(): boolean;
  /** Somebody asked for the view. */
  onAsked?(): void;
};

/** The view for follow pages that ask again and again, because listening is blocked for them. */
export function viewPage(app: Express, { stage, clock, benchThere, onAsked }: ViewHouse): void {
  app.get(relayViewPath, (request, response) => {
    onAsked?.();
    const body = stage.body();
    response.set({
      // So that a cache in front answers for a class that asks at the same time.
      "Cache-Control": "public, max-age=1",
      Vary: "Accept-Encoding",
      [relayClockHeader]: String(clock()),
      [relayBenchHeader]: benchThere() ? "1" : "0",
    });
    if (!body) {
      refuse(response, 404, "noSession", "No bench has shown anything here yet.");
      return;
    }
    response.set({ ETag: body.etag, "Content-Type": "application/json; charset=utf-8" });
    if (request.headers["if-none-match"] === body.etag) {
      response.status(304).end();
      return;
    }
    const accepted = request.headers["accept-encoding"] ?? "";
    const encoding = (["br", "gzip"] as const).find((one) => accepted.includes(one));
    if (encoding) response.set("Content-Encoding", encoding);
    response.end(encoding ? body[encoding] : body.plain);
  });
}
