import express, { type Express, type RequestHandler } from "express";
import { refused } from "../../shared/dye/refusal.ts";
import { plainPicture } from "../picture/plain.ts";
import type { Photographs } from "../record/photographs.ts";
import { RecordProblem } from "../record/record.ts";
import { refuse } from "./refuse.ts";

/** The largest photograph that is taken in, bytes. */
export const largestPhotograph = 30_000_000;

/**
 * Photographs of results, for a paired tablet: `POST /api/photographs` keeps one, its metadata left
 * out, and answers with its digest; `GET /api/photographs/DIGEST` gives it back.
 */
export function photographDesk(
  app: Express,
  photographs: Photographs,
  paired: RequestHandler,
): void {
  // What says of itself that it is too large is refused before any of it is read.
  const announced: RequestHandler = (request, response, next) => {
    if (Number(request.get("content-length") ?? 0) > largestPhotograph) tooLarge(response);
    else next();
  };
  const bytes: RequestHandler = (request, response, next) => {
    express.raw({ type: () => true, limit: largestPhotograph, inflate: false })(
      request,
      response,
      (error?: unknown) => {
        if (error === undefined) next();
        else if (isTooLarge(error)) tooLarge(response);
        else refuse(response, 400, "unreadable", "The photograph did not arrive whole. Try again.");
      },
    );
  };
  app.post("/api/photographs", paired, announced, bytes, (request, response) => {
    const body: unknown = request.body;
    const picture = plainPicture(body instanceof Uint8Array ? body : new Uint8Array());
    if (refused(picture)) {
      refuse(response, 415, picture.code, picture.say);
      return;
    }
    try {
      const { width, height, kind } = picture;
      response.status(201).json({ photograph: photographs.keep(picture), kind, width, height });
    } catch (error) {
      if (!(error instanceof RecordProblem)) throw error;
      refuse(response, 507, error.code, error.message);
    }
  });
  app.get("/api/photographs/:digest", paired, (request, response) => {
    const found = photographs.find(String(request.params.digest));
    if (!found) {
      const say = "There is no such photograph on this computer.";
      refuse(response, 404, "noPhotograph", say);
      return;
    }
    response
      .set("Cache-Control", "private, max-age=31536000, immutable")
      .type(found.type)
      .send(Buffer.from(found.bytes));
  });
}

function tooLarge(response: Parameters<RequestHandler>[1]): void {
  const most = largestPhotograph / 1e6;
  const say = `This photograph is larger than ${most}\u202fMB. Save it smaller, and try again.`;
  refuse(response, 413, "tooLarge", say);
}

function isTooLarge(error: unknown): boolean {
  return typeof error === "object" && error !== null && "status" in error && error.status === 413;
}
