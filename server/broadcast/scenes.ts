import * as z from "zod";
import {
  type Bindings,
  kindNow,
  missing,
  renamed,
  type SceneKind,
  sceneKinds,
} from "../../shared/broadcast/binding.ts";
import type { State } from "../../shared/session/state.ts";
import type { SessionRecord } from "../record/record.ts";
import { keep, kept } from "./keep.ts";
import { codes, type Line, Refused } from "./line.ts";

const key = "broadcast.scenes";
/** Scenes that are listed; a broadcaster with more is a stranger joking. */
const mostScenes = 2_000;

export const bindingsSchema = z.partialRecord(z.enum(sceneKinds), z.string().min(1).max(1_000));
const sceneName = z.string().max(2_000);
const nameSchema = z.object({ sceneName });
const listSchema = z.object({
  currentProgramSceneName: z.string().nullable(),
  scenes: z.array(nameSchema),
});
const renameSchema = z.object({ oldSceneName: sceneName, sceneName });
const created = z.object({ sceneName, isGroup: z.boolean().optional() });
const nothing = z.unknown();

/** Lets the scene follow the session, until somebody at the broadcaster chooses one. */
export class Scenes {
  list: string[] = [];
  current: string | null = null;
  heldBy: string | null = null;
  bindings: Bindings;
  private line: Line | null = null;
  private kind: SceneKind | null = null;
  /** Scenes that we asked for and have not been told of yet. */
  private readonly asked: string[] = [];

  constructor(
    private readonly record: SessionRecord,
    private readonly tell: (say: string | null) => void,
  ) {
    const stored = bindingsSchema.safeParse(kept(record, key));
    this.bindings = stored.success ? stored.data : {};
  }

  get kindNow(): SceneKind | null {
    return this.kind;
  }

  async up(line: Line): Promise<void> {
    this.line = line;
    this.asked.length = 0;
    line.on("CurrentProgramSceneChanged", nameSchema, ({ sceneName }) => this.moved(sceneName));
    line.on("SceneNameChanged", renameSchema, ({ oldSceneName, sceneName }) => {
      this.list = this.list.map((name) => (name === oldSceneName ? sceneName : name));
      if (this.current === oldSceneName) this.current = sceneName;
      if (this.heldBy === oldSceneName) this.heldBy = sceneName;
      const bound = Object.values(this.bindings).includes(oldSceneName);
      if (bound) this.keep(renamed(this.bindings, oldSceneName, sceneName));
      this.tell(bound ? `“${oldSceneName}” is now “${sceneName}”, and stays bound.` : null);
    });
    line.on("SceneRemoved", created, ({ sceneName }) => {
      this.list = this.list.filter((name) => name !== sceneName);
      const bound = Object.values(this.bindings).includes(sceneName);
      this.tell(bound ? `The scene “${sceneName}” is gone: bind another in its place.` : null);
    });
    line.on("SceneCreated", created, ({ sceneName, isGroup }) => {
      const fresh = isGroup !== true && !this.list.includes(sceneName);
      if (fresh && this.list.length < mostScenes) this.list.push(sceneName);
      this.tell(null);
    });
    // Another collection brings other scenes; choosing it was no choice of a scene.
    line.on("CurrentSceneCollectionChanged", nothing, () => void this.read(line));
    await this.read(line);
    const gone = missing(this.bindings, this.list);
    if (gone.length > 0) {
      const names = gone.map((name) => `“${name}”`).join(", ");
      this.tell(`${names} is not among the broadcaster's scenes: bind another in its place.`);
    }
    await this.go();
  }

  down(): void {
    this.line = null;
    this.list = [];
    this.current = null;
  }

  bind(bindings: Bindings): void {
    this.keep(bindings);
    void this.go();
  }

  /** The session has moved on; the scene follows where its kind of step is another. */
  follow(state: State): void {
    const kind = kindNow(state);
    // A swatch is shown until the session moves on.
    if (kind === this.kind) return;
    this.kind = kind;
    void this.go();
  }

  /** The dyer asks for a kind of scene by hand, such as the one for a swatch. */
  async show(kind: SceneKind): Promise<void> {
    this.kind = kind;
    await this.go();
  }

  /** The dyer lets the scene follow again. */
  async release(state: State | null): Promise<void> {
    this.heldBy = null;
    if (state) this.kind = kindNow(state);
    this.tell(null);
    await this.go();
  }

  private async read(line: Line): Promise<void> {
    try {
      const list = await line.ask("GetSceneList", undefined, listSchema);
      if (line !== this.line) return;
      // The broadcaster lists from the bottom up.
      this.list = list.scenes
        .map(({ sceneName }) => sceneName)
        .reverse()
        .slice(0, mostScenes);
      this.current = list.currentProgramSceneName;
      this.tell(null);
    } catch {
      this.tell("The broadcaster did not say which scenes it has.");
    }
  }

  private moved(scene: string): void {
    this.current = scene;
    const place = this.asked.indexOf(scene);
    if (place >= 0) {
      this.asked.splice(0, place + 1);
      this.tell(null);
      return;
    }
    const bound = Object.keys(this.bindings).length > 0;
    if (bound) this.heldBy = scene;
    this.tell(null);
  }

  private async go(): Promise<void> {
    const { line, kind } = this;
    const scene = kind === null ? undefined : this.bindings[kind];
    if (!line || scene === undefined || this.heldBy !== null || scene === this.current) return;
    this.asked.push(scene);
    try {
      await line.ask("SetCurrentProgramScene", { sceneName: scene }, nothing);
    } catch (error) {
      const place = this.asked.indexOf(scene);
      if (place >= 0) this.asked.splice(place, 1);
      const gone = error instanceof Refused && error.code === codes.noSource;
      this.tell(
        gone
          ? `There is no scene “${scene}” any more: bind another in its place.`
          : `The broadcaster did not change to “${scene}”.`,
      );
    }
  }

  private keep(bindings: Bindings): void {
    this.bindings = bindings;
    keep(this.record, key, bindings);
  }
}
