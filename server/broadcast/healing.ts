import * as z from "zod";
import type { Line } from "./line.ts";
import { findOverlay } from "./placing.ts";

/** How long a visible overlay may be silent before something is done, ms. */
export const silentMs = 10_000;
/** How long after all was tried it is tried again, while no overlay at all calls in, ms. */
const againMs = 60_000;

const activeSchema = z.object({ videoActive: z.boolean() });
const nothing = z.unknown();

/** What tells the healing how things are. */
export type Watched = {
  /** The overlay's address for the broadcaster. */
  address(): string;
  /** Whether an overlay of the broadcaster's, or any at all, is connected. */
  calledIn(): boolean;
  now(): number;
  did(say: string): void;
};

/**
 * Brings a blank overlay back: a browser source that was opened before Pourside stays blank until
 * somebody loads it again. First its own button for that is pressed, then its address is changed,
 * which nothing that is kept in the broadcaster's store can stand against.
 */
export class Healing {
  private timer: NodeJS.Timeout | null = null;
  private busy = false;
  private silentSince: number | null = null;
  private tried: "nothing" | "refreshed" | "revived" = "nothing";
  private revivals = 0;

  constructor(private readonly watched: Watched) {}

  up(line: Line, everyMs = 1_000): void {
    this.down();
    // On connecting nothing is waited for: the broadcaster has been there for longer than we know.
    this.silentSince = this.watched.now() - silentMs;
    this.timer = setInterval(() => void this.look(line), everyMs);
    void this.look(line);
  }

  down(): void {
    if (this.timer) clearInterval(this.timer);
    this.timer = null;
    this.tried = "nothing";
    this.silentSince = null;
  }

  private async look(line: Line): Promise<void> {
    if (this.busy) return;
    const { watched } = this;
    const now = watched.now();
    if (watched.calledIn()) {
      if (this.tried !== "nothing") watched.did("The overlay has called in again.");
      this.tried = "nothing";
      this.silentSince = null;
      return;
    }
    this.silentSince ??= now;
    const patience = this.tried === "revived" ? againMs : silentMs;
    if (now - this.silentSince < patience) return;
    this.busy = true;
    try {
      // Whatever comes of it, the next look is a whole patience away.
      this.silentSince = now;
      const inputName = await findOverlay(line, watched.address());
      if (inputName === null || !(await this.visible(line, inputName))) {
        this.tried = "nothing";
        return;
      }
      if (this.tried === "nothing") await this.refresh(line, inputName);
      else if (this.tried === "refreshed") await this.revive(line, inputName);
      else {
        this.tried = "nothing";
        watched.did(
          `“${inputName}” is still silent after a reload and a new address. Look whether the broadcaster shows it, and whether it can reach ${watched.address()}.`,
        );
      }
    } catch {
      // The broadcaster refused or left; the next look begins anew.
    } finally {
      this.busy = false;
    }
  }

  private async visible(line: Line, sourceName: string): Promise<boolean> {
    return (await line.ask("GetSourceActive", { sourceName }, activeSchema)).videoActive;
  }

  private async refresh(line: Line, inputName: string): Promise<void> {
    this.tried = "refreshed";
    const data = { inputName, propertyName: "refreshnocache" };
    await line.ask("PressInputPropertiesButton", data, nothing);
    this.watched.did(`The overlay had not called in, so “${inputName}” was reloaded.`);
  }

  private async revive(line: Line, inputName: string): Promise<void> {
    this.tried = "revived";
    this.revivals += 1;
    const url = `${this.watched.address()}?revived=${this.watched.now()}-${this.revivals}`;
    const inputSettings = { is_local_file: false, url };
    await line.ask("SetInputSettings", { inputName, inputSettings }, nothing);
    this.watched.did(
      `A reload did not bring the overlay back, so “${inputName}” was given its address anew.`,
    );
  }
}
