import { existsSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import type { Express } from "express";
import type { Snapshot } from "../../shared/session/wire.ts";
import { takeawayHtml } from "../recap/takeaway.ts";
import { type Packed, pack, packedFiles, sendPacked } from "./pack.ts";
import { refuse } from "./refuse.ts";

/** What a page is made from; its script reads the same. */
export type Written = {
  held: Pick<Snapshot, "session" | "seq" | "view"> | null;
  /** The clock of whoever makes the page, ms. */
  madeAt: number;
};

/** The follow page as it was built: how it is drawn, and what it is written into. */
export type FollowBuild = {
  /** The body of the page, drawn for the session's own amounts. */
  drawPage(written: Written): string;
  /** The same for one file that needs no bench; what its script takes over from, and what it says to machines, as JSON. */
  drawFile(written: Written): { body: string; held: string; linkedData: string };
  /** A name for a file, without its ending. */
  fileNameOf(name: string): string;
  /** The page with an empty place for its body. */
  template: string;
  /** Style with the typeface in it, and script, of the one file. */
  style: string;
  script: string;
};

const emptyPlace = '<div id="follow"></div>';

/**
 * Loads what was built beside a folder of pages.
 * @param pages folder of the built pages
 */
export function loadFollow(pages: string): FollowBuild {
  const folder = join(pages, "..", "follow");
  const drawn = createRequire(import.meta.url)(join(folder, "drawn.cjs"));
  return {
    drawPage: drawn.drawPage,
    drawFile: drawn.drawFile,
    fileNameOf: drawn.fileNameOf,
    template: readFileSync(join(pages, "follow", "index.html"), "utf8"),
    style: readFileSync(join(folder, "file.css"), "utf8"),
    script: readFileSync(join(folder, "file.js"), "utf8"),
  };
}

/** The same; none where the server runs before the pages were built. */
export function followBuilt(pages: string): FollowBuild | undefined {
  return existsSync(join(pages, "..", "follow", "drawn.cjs")) ? loadFollow(pages) : undefined;
}

/**
 * The follow page, drawn whole, so that it shows the recipe before its script is there, and without.
 * @param snapshot what viewers may see by now; `null` while nothing is on the bench
 * @param madeAt the clock, ms
 */
export function followHtml(options: {
  snapshot: Snapshot | null;
  build: FollowBuild;
  madeAt: number;
}): string {
  const { build, madeAt } = options;
  return build.template.replace(emptyPlace, () =>
    build.drawPage({ held: heldOf(options.snapshot), madeAt }),
  );
}

/** The recipe of a snapshot as one file, and the name it is saved under. */
export function followFile(options: { snapshot: Snapshot; build: FollowBuild; madeAt: number }): {
  name: string;
  html: string;
} {
  const { snapshot, build, madeAt } = options;
  const { session, seq, view } = snapshot;
  return {
    name: `${build.fileNameOf(view.session.name)}.html`,
    html: takeawayHtml(view, { session, seq, madeAt, build }),
  };
}

function heldOf(snapshot: Snapshot | null): Written["held"] {
  if (snapshot === null) return null;
  const { session, seq, view } = snapshot;
  return { session, seq, view };
}

/** A page with running timers is drawn anew after this, ms; any other only when something changed. */
const timerAgeMs = 1_000;
/** The file is made no more often than this, ms, however many take it and whatever changes. */
const fileAgeMs = 1_000;

export type FollowHouse = {
  /** What viewers who come may see now. */
  snapshot(): Snapshot | null;
  clock(): number;
  pages: string;
  build: FollowBuild;
};

/** Serves the follow page, its files and the recipe as one file, packed as the browser can take it. */
export function followPages(app: Express, house: FollowHouse): void {
  const folder = join(house.pages, "follow");
  const { build } = house;

  let last: { of: Snapshot["view"] | null; madeAt: number; page: Packed } | null = null;
  const page = (): Packed => {
    const madeAt = house.clock();
    const snapshot = house.snapshot();
    const view = snapshot?.view ?? null;
    const timed = view !== null && Object.keys(view.timers).length > 0;
    if (last?.of === view && !(timed && madeAt - last.madeAt > timerAgeMs)) return last.page;
    last = { of: view, madeAt, page: pack(followHtml({ snapshot, build, madeAt }), "quick") };
    return last.page;
  };
  app.get("/follow", (request, response) => {
    response.set("Cache-Control", "no-cache").type("html");
    sendPacked(request, response, page());
  });

  let saved: { of: Snapshot; madeAt: number; name: string; file: Packed } | null = null;
  const file = (snapshot: Snapshot) => {
    const madeAt = house.clock();
    if (saved !== null && saved.of.session === snapshot.session) {
      const { of } = saved;
      const still = of.view === snapshot.view && Object.keys(of.view.timers).length === 0;
      if (still || Math.abs(madeAt - saved.madeAt) < fileAgeMs) return saved;
    }
    const { name, html } = followFile({ snapshot, build, madeAt });
    saved = { of: snapshot, madeAt, name, file: pack(html, "quick") };
    return saved;
  };
  app.get("/follow/save", (request, response) => {
    const snapshot = house.snapshot();
    if (snapshot === null) {
      refuse(response, 404, "noSession", "No session is on the bench yet.");
      return;
    }
    const taken = file(snapshot);
    response.set("Cache-Control", "no-store").attachment(taken.name).type("html");
    sendPacked(request, response, taken.file);
  });
  app.use("/follow", packedFiles(folder));
}
