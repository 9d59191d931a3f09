import type { Express, RequestHandler } from "express";
import { momentsOf } from "../../shared/broadcast/moment.ts";
import { type Kit, listingsOf } from "../../shared/recap/kit.ts";
import { sayCounts, sayDay } from "../../shared/recap/recap.ts";
import { type VideoClock, videoOf } from "../../shared/recap/video.ts";
import type { State } from "../../shared/session/state.ts";
import { recapView } from "../../shared/session/views/publicView.ts";
import type { FollowBuild } from "../http/follow.ts";
import { refuse } from "../http/refuse.ts";
import type { Sessions } from "../session/sessions.ts";
import { type RecapFile, recapFiles } from "./files.ts";

type Laid = { key: string; files: readonly RecapFile[] };

/**
 * A session's publishing kit, for a paired controller: `GET /api/recap/SESSION` says what there is,
 * `GET /api/recap/SESSION/FILE` makes a file of it.
 *
 * @param follow the follow page as it was built, for the file to take away
 * @param clockOf anchors of a session's video; none where there is no clock
 */
export function recapDesk(
  app: Express,
  sessions: Sessions,
  paired: RequestHandler,
  clockOf: (session: string) => VideoClock,
  follow?: FollowBuild,
): void {
  let last: Laid | null = null;
  /** Laid out once for as long as neither session nor clock changes: a tablet asks for one by one. */
  const filesOf = (state: State): readonly RecapFile[] => {
    const { session, seq, setup } = state;
    const clock = clockOf(session);
    const key = JSON.stringify([session, seq, clock]);
    if (last?.key === key) return last.files;
    const moments = momentsOf(session, sessions.eventsAfter(session, 0));
    const video = videoOf(setup.name, moments, clock);
    last = { key, files: recapFiles(state, { video, ...(follow ? { follow } : {}) }) };
    return last.files;
  };
  app.get("/api/recap/:session", paired, (request, response) => {
    const state = sessions.state(String(request.params.session));
    if (!state) {
      refuse(response, 404, "unknownSession", "There is no such session in the record.");
      return;
    }
    const recap = recapView(state);
    const kit: Kit = {
      name: recap.name,
      day: sayDay(recap.day),
      counts: sayCounts(recap),
      closed: state.phase === "closed",
      files: filesOf(state).map(({ name, type }) => ({ name, type })),
      listings: listingsOf(state, recap),
    };
    response.set("Cache-Control", "no-store").json(kit);
  });
  app.get("/api/recap/:session/:file", paired, async (request, response) => {
    const state = sessions.state(String(request.params.session));
    if (!state) {
      refuse(response, 404, "unknownSession", "There is no such session in the record.");
      return;
    }
    const file = filesOf(state).find(({ name }) => name === request.params.file);
    if (file) {
      const made = await file.make();
      response.set("Cache-Control", "no-store").attachment(file.name).type(file.type).send(made);
    } else {
      refuse(response, 404, "noFile", "The recap of this session has no file of that name.");
    }
  });
}
