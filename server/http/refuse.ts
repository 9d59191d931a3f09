import type { Response } from "express";
import type { Refusal } from "../../shared/dye/refusal.ts";

/** Answers with a code and a sentence. */
export function refuse(response: Response, status: number, code: string, say: string): void {
  response.status(status).json({ code, say } satisfies Refusal);
}
