import express, { type Express } from "express";
import { agedBy } from "../http/agedView.ts";
import { type FollowBuild, followBuilt, followPages } from "../http/follow.ts";
import { headers } from "../http/headers.ts";
import { refuse } from "../http/refuse.ts";
import { viewPage } from "../http/view.ts";
import { recapPages } from "../recap/pages.ts";
import { keyOf, wrongKey } from "./door.ts";
import { fits, hashOf, newKey } from "./key.ts";
import { keyPath } from "./limits.ts";
import type { Common } from "./processes.ts";
import type { Stage } from "./stage.ts";

export type RelayHouse = {
  stage: Stage;
  common: Common;
  /** Folder of the built pages. */
  pages: string;
  /** The bench's clock, ms. */
  clock(): number;
  benchThere(): boolean;
  /** Somebody asked for the view. */
  onAsked(): void;
  /** The old key is no longer good. */
  onNewKey(): void;
};

/** The pages of a relay, and what its bench asks of it besides the line. */
export function makeRelayApp(house: RelayHouse): Express {
  const app = express();
  app.disable("x-powered-by");
  app.disable("etag");
  app.use(headers());
  pages(app, house);
  view(app, house);
  keys(app, house);
  app.use((_request, response) => {
    refuse(response, 404, "nothing", "There is nothing at this address.");
  });
  const failed: express.ErrorRequestHandler = (error: unknown, _request, response, next) => {
    if (response.headersSent) next(error);
    else refuse(response, 500, "failed", "The relay failed at this. Try again.");
  };
  app.use(failed);
  return app;
}

function pages(app: Express, { stage, clock, pages }: RelayHouse): void {
  app.get("/", (_request, response) => response.redirect("/follow"));
  const seen = agedBy({
    snapshot: () => {
      const shown = stage.shown();
      return shown && { session: shown.session, seq: shown.seq, view: shown.view, now: clock() };
    },
    changedAt: () => stage.shown()?.at ?? 0,
    listen: (changed) => stage.listen(changed),
    clock,
  });
  recapPages(app, () => seen()?.view.recap ?? null);
  const build = followBuilt(pages);
  if (!build) return;
  followPages(app, {
    snapshot: seen,
    clock,
    pages,
    build: guarded(build),
  });
}

/** A page with a view that cannot be drawn, such as another version's, is left to its script. */
function guarded(build: FollowBuild): FollowBuild {
  return {
    ...build,
    drawPage: (written) => {
      try {
        return build.drawPage(written);
      } catch {
        return build.drawPage({ ...written, held: null });
      }
    },
  };
}

function view(app: Express, { stage, clock, benchThere, onAsked }: RelayHouse): void {
  app.get("/api/health", (_request, response) => {
    const shown = stage.shown();
    response.set("Cache-Control", "no-store");
    response.json({ ok: true, session: shown?.session ?? null, seq: shown?.seq ?? 0 });
  });
  viewPage(app, { stage, clock, benchThere, onAsked });
}

function keys(app: Express, { common, onNewKey }: RelayHouse): void {
  app.post(keyPath, async (request, response) => {
    const kept = await common.key();
    if (!kept || !fits(keyOf(request), kept.hash)) {
      refuse(response, 401, wrongKey.code, wrongKey.say);
      return;
    }
    const key = newKey();
    await common.setKey({ hash: hashOf(key), given: kept.given });
    response.set("Cache-Control", "no-store").json({ key });
    onNewKey();
  });
}
