import type { BroadcastReport } from "../../shared/broadcast/report.ts";
import type { BroadcastDesk, Told } from "./desk.ts";

/** What every part of the broadcast screen is given. */
export interface PartProps {
  report: BroadcastReport;
  desk: BroadcastDesk;
  /** Says what came of something, and reads the report anew. */
  say: (told: Promise<Told>) => void;
}
