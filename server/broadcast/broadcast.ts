import * as z from "zod";
import type { Bindings, SceneKind } from "../../shared/broadcast/binding.ts";
import { chaptersOf, descriptionOf, type Mark } from "../../shared/broadcast/chapters.ts";
import { momentsOf } from "../../shared/broadcast/moment.ts";
import {
  type BroadcastReport,
  type BroadcastWord,
  type LinkState,
  sayLink,
} from "../../shared/broadcast/report.ts";
import { captionCues, chapterCues, webVtt } from "../../shared/broadcast/webVtt.ts";
import { type Refusal, refuse } from "../../shared/dye/refusal.ts";
import { sayEntry } from "../../shared/session/say.ts";
import type { State } from "../../shared/session/state.ts";
import type { SessionRecord } from "../record/record.ts";
import type { Sessions } from "../session/sessions.ts";
import { AccessFile, addressOf } from "./access.ts";
import { Clock } from "./clock.ts";
import { Healing } from "./healing.ts";
import { type Line, Refused } from "./line.ts";
import { Link } from "./link.ts";
import { inputsOf, kindsOf, overlayName, type Placed, placeOverlay } from "./placing.ts";
import { Scenes } from "./scenes.ts";
import { Texts } from "./texts.ts";

/** What the broadcast link is given of the house. */
export type Surroundings = {
  /** Folder of the record. */
  data: string;
  record: SessionRecord;
  sessions: Sessions;
  /** Overlay for a browser source on this machine, and for one on another. */
  overlayAddress(local: boolean): string;
  /** Whether an overlay is connected that the broadcaster opened, or any where none is known to be. */
  overlayCalledIn(): boolean;
  clock(): number;
};

const away = refuse("notLinked", "The broadcasting software is not linked right now.");
const noSession = refuse("noSession", "No session is on the bench yet.");
const nothing = z.unknown();
const shotSchema = z.object({ imageData: z.string() });
const mostSources = 2_000;

export type TimedEvent = {
  seq: number;
  at: number;
  type: string;
  timecodesMs: Record<string, number>;
};

export type ChapterFile = "description" | "chapters" | "captions";

/** The link to the broadcasting software, and all that follows from it. */
export class Broadcast {
  private readonly access: AccessFile;
  private readonly link: Link;
  private readonly clock: Clock;
  private readonly scenes: Scenes;
  private readonly texts = new Texts();
  private readonly healing: Healing;
  private state: LinkState = "none";
  private address: string | null = null;
  private passwordKept = false;
  private did: BroadcastWord["did"] = null;
  private kinds: readonly string[] | null = null;
  private listener: () => void = () => {};
  private readonly marked = new Set<string>();
  private closed = false;

  constructor(private readonly around: Surroundings) {
    const { record, sessions, clock, data } = around;
    this.access = new AccessFile(data);
    this.clock = new Clock(record, clock, () => this.listener());
    this.scenes = new Scenes(record, (say) => this.tell(say));
    this.healing = new Healing({
      address: () => around.overlayAddress(this.isLocal()),
      calledIn: () => around.overlayCalledIn(),
      now: clock,
      did: (say) => this.tell(say),
    });
    this.link = new Link({
      onUp: (line) => void this.up(line),
      onDown: () => this.down(),
      onState: (state) => {
        this.state = state;
        this.listener();
      },
    });
    sessions.listen((happening) => {
      // After the answer has gone out: nothing at the bench waits for the broadcaster.
      setImmediate(() => {
        if (!this.closed) this.follow(happening.state);
      });
    });
  }

  /** Begins to call, if an address is kept. */
  begin(): void {
    const state = this.around.sessions.onBench();
    if (state) this.follow(state);
    this.aim();
  }

  listen(listener: () => void): void {
    this.listener = listener;
  }

  word(): BroadcastWord {
    return {
      state: this.state,
      ...sayLink(this.state, this.address ?? ""),
      heldBy: this.scenes.heldBy,
      did: this.did,
    };
  }

  /** Keeps address and password. Without a password the one that is kept for that address stays. */
  settle(typed: string, password: string | undefined): Refusal | null {
    const address = addressOf(typed);
    if (typeof address !== "string") return address;
    const before = this.access.read();
    const same = before?.address === address ? before.password : "";
    this.access.keep({ address, password: password ?? same });
    this.aim();
    return null;
  }

  forget(): void {
    this.access.forget();
    this.aim();
  }

  async report(): Promise<BroadcastReport> {
    const session = this.around.sessions.onBench()?.session ?? null;
    const line = this.link.now;
    return {
      word: this.word(),
      address: this.address,
      passwordKept: this.passwordKept,
      browserSources: this.kinds?.includes("browser_source") ?? null,
      chapterMarks: line?.can.has("CreateRecordChapter") ?? null,
      scenes: this.scenes.list,
      sources: await this.sources(),
      currentScene: this.scenes.current,
      bindings: this.scenes.bindings,
      kind: this.scenes.kindNow,
      runs: session === null ? [] : this.clock.runs(session),
      run: session === null ? null : this.bestRun(session),
      offsetMs: session === null ? 0 : this.clock.offsetMs(session),
    };
  }

  async placeOverlay(): Promise<Placed> {
    const line = this.link.now;
    if (!line) return { ok: false, ...away };
    return await placeOverlay(line, this.around.overlayAddress(this.isLocal()));
  }

  async placeTexts(): Promise<Placed> {
    const line = this.link.now;
    if (!line) return { ok: false, ...away };
    return await this.texts.place(line);
  }

  bind(bindings: Bindings): void {
    this.scenes.bind(bindings);
    this.listener();
  }

  async show(kind: SceneKind): Promise<void> {
    await this.scenes.show(kind);
  }

  async followAgain(): Promise<void> {
    await this.scenes.release(this.around.sessions.onBench());
  }

  liveNow(): Refusal | null {
    return this.onBench((session) => this.clock.liveNow(session));
  }

  shiftOwn(shiftMs: number): Refusal | null {
    let moved = false;
    const refused = this.onBench((session) => {
      moved = this.clock.shiftOwn(session, shiftMs);
    });
    return moved ? null : (refused ?? refuse("noClock", "Tap “We are live now” first."));
  }

  setOffset(offsetMs: number): Refusal | null {
    return this.onBench((session) => this.clock.setOffset(session, offsetMs));
  }

  /** Chapters or captions of a session, in the times of one of its runs, moved by the offset. */
  file(kind: ChapterFile, session: string, asked?: string): string | Refusal {
    const run = asked ?? this.bestRun(session);
    const state = this.around.sessions.state(session);
    const known = this.clock.runs(session).find((one) => one.run === run);
    if (!state) return noSession;
    if (!known) {
      return refuse(
        "noClock",
        "There is no clock for this video: link the broadcasting software, or tap “We are live now”.",
      );
    }
    const offsetMs = this.clock.offsetMs(session);
    const pours = this.moments(session).flatMap(({ shownAt, pouredAt, say }) => {
      const pouredMs = this.clock.timecode(session, known.run, pouredAt);
      if (pouredMs === null) return [];
      // A pour that came up before the first frame is there from the first frame on.
      const shownMs = this.clock.timecode(session, known.run, shownAt) ?? 0;
      return [{ shownMs: shownMs + offsetMs, pouredMs: pouredMs + offsetMs, say }];
    });
    const inVideo = pours.filter(({ pouredMs }) => pouredMs >= 0);
    const lengthMs = known.lengthMs === null ? null : known.lengthMs + offsetMs;
    if (kind === "captions") {
      const cues = captionCues(
        inVideo.map((pour) => ({ ...pour, shownMs: Math.max(0, pour.shownMs) })),
      );
      return webVtt(cues);
    }
    const marks: Mark[] = inVideo.map(({ shownMs, say }) => ({ atMs: shownMs, title: say }));
    const chapters = chaptersOf(marks, state.setup.name, lengthMs);
    return kind === "description"
      ? descriptionOf(chapters)
      : webVtt(chapterCues(chapters, lengthMs));
  }

  /** Every event of a session with its moment on the server's clock and in each of its runs, ms. */
  timed(session: string): TimedEvent[] {
    const runs = this.clock.runs(session);
    return this.around.sessions.eventsAfter(session, 0).map(({ seq, at, event }) => {
      const timecodesMs: Record<string, number> = {};
      for (const { run } of runs) {
        const timecodeMs = this.clock.timecode(session, run, at);
        if (timecodeMs !== null) timecodesMs[run] = timecodeMs;
      }
      return { seq, at, type: event.type, timecodesMs };
    });
  }

  /** A picture of a source as it is now, PNG. */
  async still(sourceName: string): Promise<Buffer | Refusal> {
    const line = this.link.now;
    if (!line) return away;
    try {
      const data = { sourceName, imageFormat: "png" };
      const { imageData } = await line.ask("GetSourceScreenshot", data, shotSchema);
      const encoded = /^data:image\/png;base64,([A-Za-z0-9+/=\s]+)$/.exec(imageData)?.[1];
      if (encoded === undefined) {
        return refuse("noPicture", `The broadcaster sent no picture of “${sourceName}”.`);
      }
      return Buffer.from(encoded, "base64");
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      const why = error.message === "" ? "" : ` It said: ${error.message}`;
      return refuse("noPicture", `The broadcaster gave no picture of “${sourceName}”.${why}`);
    }
  }

  close(): void {
    this.closed = true;
    this.listener = () => {};
    this.link.stop();
  }

  private aim(): void {
    const access = this.access.read();
    this.address = access?.address ?? null;
    this.passwordKept = (access?.password ?? "") !== "";
    this.did = null;
    this.link.aim(access);
  }

  private async up(line: Line): Promise<void> {
    this.clock.up(line, () => this.link.lost(line));
    this.healing.up(line);
    line.on("InputCreated", nothing, () => this.listener());
    line.on("InputRemoved", nothing, () => this.listener());
    await this.scenes.up(line);
    await this.texts.up(line);
    this.kinds = await kindsOf(line).catch(() => null);
    this.listener();
  }

  private down(): void {
    this.clock.down();
    this.healing.down();
    this.scenes.down();
    this.texts.down();
    this.kinds = null;
    this.listener();
  }

  private follow(state: State): void {
    this.clock.turnTo(state.session);
    this.scenes.follow(state);
    this.texts.follow(state);
    void this.mark(state);
  }

  /** Writes a chapter mark for a pour that is new, where the broadcaster can. */
  private async mark(state: State): Promise<void> {
    const line = this.link.now;
    const poured = state.bench.poured.at(-1);
    const entry = poured && state.acts.find(({ seq }) => seq === poured.act);
    if (!entry || entry.seq !== state.seq) return;
    const pour = `${state.session} ${entry.seq}`;
    if (this.marked.has(pour)) return;
    this.marked.add(pour);
    if (!line?.can.has("CreateRecordChapter") || !this.clock.recording()) return;
    try {
      await line.ask("CreateRecordChapter", { chapterName: sayEntry(state, entry) }, nothing);
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      this.tell(
        "The broadcaster wrote no chapter mark; the chapter list has this pour all the same.",
      );
    }
  }

  private tell(say: string | null): void {
    if (say !== null) this.did = { say, at: this.around.clock() };
    this.listener();
  }

  private onBench(work: (session: string) => void): Refusal | null {
    const state = this.around.sessions.onBench();
    if (!state) return noSession;
    work(state.session);
    return null;
  }

  private moments(session: string) {
    return momentsOf(session, this.around.sessions.eventsAfter(session, 0));
  }

  /** The run in which most pours lie; of equals a recording before a stream, and the later one. */
  private bestRun(session: string): string | null {
    const moments = this.moments(session);
    const rank = { record: 2, stream: 1, own: 0 };
    const counted = this.clock.runs(session).map((run) => ({
      ...run,
      pours: moments.filter(
        ({ pouredAt }) => this.clock.timecode(session, run.run, pouredAt) !== null,
      ).length,
    }));
    counted.sort(
      (a, b) => b.pours - a.pours || rank[b.output] - rank[a.output] || b.startedAt - a.startedAt,
    );
    return counted[0]?.run ?? null;
  }

  private async sources(): Promise<string[]> {
    const line = this.link.now;
    if (!line) return [];
    try {
      const inputs = await inputsOf(line);
      const names = inputs.map(({ inputName }) => inputName);
      return [...this.scenes.list, ...names.filter((name) => name !== overlayName)].slice(
        0,
        mostSources,
      );
    } catch {
      return [];
    }
  }

  private isLocal(): boolean {
    return /^wss?:\/\/(127\.|localhost|\[::1\])/.test(this.address ?? "");
  }
}
