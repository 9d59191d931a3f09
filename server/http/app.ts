import { createHash, randomUUID } from "node:crypto";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import express, { type ErrorRequestHandler, type Express, type RequestHandler } from "express";
import { rateLimit } from "express-rate-limit";
import * as z from "zod";
import type { Refusal } from "../../shared/dye/refusal.ts";
import type { VideoClock } from "../../shared/recap/video.ts";
import type { Command } from "../../shared/session/command.ts";
import { openSheet } from "../../shared/session/sheet.ts";
import { currentStep, type State } from "../../shared/session/state.ts";
import type { Broadcast } from "../broadcast/broadcast.ts";
import { foreign } from "../live/origin.ts";
import type { Pairing } from "../live/pairing.ts";
import type { Publisher } from "../live/publisher.ts";
import type { Preparations } from "../prepare/preparations.ts";
import { recapPages } from "../recap/pages.ts";
import { recapDesk } from "../recap/routes.ts";
import type { Photographs } from "../record/photographs.ts";
import type { RelayLine } from "../relay/line.ts";
import type { Stage } from "../relay/stage.ts";
import type { Sessions } from "../session/sessions.ts";
import type { Addresses } from "./addresses.ts";
import { agedBy } from "./agedView.ts";
import { broadcastDesk } from "./broadcast.ts";
import { files } from "./files.ts";
import { type FollowBuild, followBuilt, followPages } from "./follow.ts";
import { headers } from "./headers.ts";
import { photographDesk } from "./photographs.ts";
import { prepareDesk } from "./prepare.ts";
import { refuse } from "./refuse.ts";
import { relayDesk } from "./relay.ts";
import { viewPage } from "./view.ts";

export type House = {
  sessions: Sessions;
  publisher: Publisher;
  pairing: Pairing;
  /** Shelf and plans. */
  preparations: Preparations;
  photographs: Photographs;
  /** The link to the broadcasting software, where there is to be one. */
  broadcast?: Broadcast;
  /** The view as follow pages get it that ask for it. */
  stage: Stage;
  /** The way to the relay, where there may be one. */
  relay?: RelayLine;
  names: readonly string[];
  addresses(): Addresses;
  clock(): number;
  /** Folder of the built pages. */
  pages: string;
  /** The file that waits for the overlay, before its address is written into it. */
  waitingFile: string;
  onForget(): void;
  /** Anchors of a session's video; none where it was not streamed or recorded. */
  videoClock(session: string): VideoClock;
  /** Writes a whole copy of the record to a file that does not exist yet. */
  backup(toFile: string): void;
};

const pageNames = ["overlay", "follow", "controller"];
const waitingMark = "POURSIDE_OVERLAY_ADDRESS";
const pairsPerMinute = 10;

const pairSchema = z.object({ code: z.string().max(20) });

export function makeApp(house: House): Express {
  const app = express();
  app.disable("x-powered-by");
  app.use(guard(house.names));
  app.use(headers());
  const follow = followBuilt(house.pages);
  pages(app, house, follow);
  open(app, house);
  viewPage(app, { stage: house.stage, clock: house.clock, benchThere: () => true });
  const paired = needsToken(house.pairing);
  desk(app, house, paired);
  prepareDesk(app, house, paired);
  files(app, house, paired);
  photographDesk(app, house.photographs, paired);
  pedals(app, house, paired);
  recapDesk(app, house.sessions, paired, house.videoClock, follow);
  if (house.relay) relayDesk(app, house.relay, paired);
  if (house.broadcast) {
    broadcastDesk(app, house.broadcast, paired, () => house.sessions.onBench()?.session ?? null);
  }
  app.use((_request, response) => {
    refuse(response, 404, "nothing", "There is nothing at this address.");
  });
  app.use(failed);
  return app;
}

function guard(names: readonly string[]): RequestHandler {
  return (request, response, next) => {
    const problem = foreign(request.headers, names);
    if (problem) refuse(response, 403, problem.code, problem.say);
    else next();
  };
}

function pages(app: Express, house: House, follow: FollowBuild | undefined): void {
  app.get("/", (_request, response) => response.redirect("/controller"));
  app.get("/overlay/waiting-file", (_request, response) => {
    const literal = JSON.stringify(house.addresses().overlay);
    response
      .attachment("pourside-overlay.html")
      .type("html")
      .send(readFileSync(house.waitingFile, "utf8").replaceAll(`"${waitingMark}"`, () => literal));
  });
  const { publisher, clock } = house;
  const seen = agedBy({
    snapshot: () => publisher.snapshot(),
    changedAt: () => publisher.changedAt,
    listen: (changed) => publisher.listen(changed),
    clock,
  });
  if (follow) followPages(app, { snapshot: seen, clock, pages: house.pages, build: follow });
  recapPages(app, () => seen()?.view.recap ?? null);
  for (const page of pageNames) {
    const folder = join(house.pages, page);
    app.get(`/${page}`, (_request, response) => {
      response.set("Cache-Control", "no-cache").sendFile(join(folder, "index.html"));
    });
    // File names carry a digest of their content.
    const files = express.static(folder, { index: false, immutable: true, maxAge: "1y" });
    app.use(`/${page}`, files);
  }
}

function open(app: Express, house: House): void {
  app.get("/api/health", (_request, response) => {
    const state = house.sessions.onBench();
    response.json({ ok: true, session: state?.session ?? null, seq: state?.seq ?? 0 });
  });
  const slowly = rateLimit({
    windowMs: 60_000,
    limit: pairsPerMinute,
    skipSuccessfulRequests: true,
    standardHeaders: true,
    legacyHeaders: false,
    // There is no proxy in front; a request that speaks of one is counted by its own address.
    validate: { xForwardedForHeader: false, forwardedHeader: false },
    handler: (_request, response) => {
      const say = "Too many tries from here. Wait a minute, then look at the code again.";
      refuse(response, 429, "tooMany", say);
    },
  });
  app.post("/api/pair", slowly, express.json({ limit: "1kb" }), (request, response) => {
    const offered = pairSchema.safeParse(request.body);
    if (!offered.success) {
      refuse(response, 400, "unreadable", "Send the pairing code as six digits.");
      return;
    }
    const paired = house.pairing.pair(offered.data.code.replaceAll(/\s/g, ""));
    if (paired.ok) response.json({ token: paired.token });
    else refuse(response, 403, paired.code, paired.say);
  });
}

function needsToken(pairing: Pairing): RequestHandler {
  return (request, response, next) => {
    const token = /^Bearer (\S+)$/.exec(request.headers.authorization ?? "")?.[1];
    if (token !== undefined && pairing.knows(token)) next();
    else
      refuse(response, 401, "token", "Pair first: this asks for a token, which a pairing gives.");
  };
}

function desk(app: Express, house: House, paired: RequestHandler): void {
  const { sessions, pairing } = house;
  app.get("/api/sessions", paired, (_request, response) => {
    response.json(sessions.list());
  });
  app.post("/api/sessions", paired, express.json({ limit: "1mb" }), (request, response) => {
    const opened = openSheet(request.body);
    if (opened.ok) response.status(201).json({ session: sessions.open(opened.setup) });
    else response.status(422).json({ problems: opened.problems });
  });
  app.post("/api/sessions/:id/bench", paired, (request, response) => {
    const id = String(request.params.id);
    if (sessions.putOnBench(id)) response.json({ session: id });
    else refuse(response, 404, "unknownSession", "There is no such session in the record.");
  });
  app.post("/api/pair/code", paired, (_request, response) => {
    const { code, expiresAt } = pairing.renew();
    response.json({ code, expiresAt });
  });
  app.post("/api/pair/forget", paired, (_request, response) => {
    pairing.forgetAll();
    house.onForget();
    response.json({ ok: true });
  });
  app.get("/api/record", paired, (_request, response) => {
    const folder = mkdtempSync(join(tmpdir(), "pourside-copy-"));
    const copy = join(folder, "record.db");
    const clear = () => rmSync(folder, { recursive: true, force: true });
    try {
      house.backup(copy);
    } catch (error) {
      clear();
      throw error;
    }
    response.download(copy, clear);
  });
  app.get("/api/addresses", paired, (_request, response) => {
    response.json(house.addresses());
  });
}

/** One-button devices that can send a request: each press is one command of its own. */
function pedals(app: Express, house: House, paired: RequestHandler): void {
  const press = (pedal: "advance" | "undo", commandOf: (state: State) => Command | Refusal) => {
    app.post(`/api/live/${pedal}`, paired, (request, response) => {
      const state = house.sessions.onBench();
      if (!state) {
        refuse(response, 404, "noSession", "No session is on the bench yet.");
        return;
      }
      const key = request.get("Idempotency-Key");
      const id = key ? `${pedal}.${digest(key)}` : randomUUID();
      const answer = house.sessions.press(id, state.session, house.clock(), commandOf);
      response.status(answer.ok ? 200 : 409).json(answer);
    });
  };
  press("advance", (state) => {
    const step = currentStep(state);
    return step
      ? { type: "advance", expect: step.id }
      : { code: "nothingNext", say: "All steps are done." };
  });
  press("undo", (state) => {
    const last = state.acts.at(-1);
    return last
      ? { type: "undo", expect: last.seq }
      : { code: "nothingToUndo", say: "There is nothing to undo." };
  });
}

/** A short name of its own for a key of any length. */
function digest(key: string): string {
  return createHash("sha256").update(key).digest("base64url");
}

const failed: ErrorRequestHandler = (error: unknown, _request, response, next) => {
  if (response.headersSent) {
    next(error);
    return;
  }
  const status = statusOf(error);
  if (status === 413) {
    refuse(response, 413, "tooLarge", "This is too large. A pour sheet may have 1 MB.");
  } else if (status < 500) {
    refuse(response, status, "unreadable", "This cannot be read. Send it as JSON.");
  } else {
    console.error(error);
    refuse(response, 500, "failed", "Pourside failed at this. The record is as it was.");
  }
};

function statusOf(error: unknown): number {
  return typeof error === "object" && error !== null && "status" in error
    ? Number(error.status) || 500
    : 500;
}
