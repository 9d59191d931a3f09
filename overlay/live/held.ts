import type { Id } from "../../shared/session/setup.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";

/** The view of a session after event `seq`. */
export type Held = { session: Id; seq: number; view: PublicView };

/**
 * How the connection is. `heldSince` is the moment, by this device's clock in ms, since which
 * nothing was heard; `null` while connected, and before the server was ever heard.
 */
export type Connection = { connected: boolean; heldSince: number | null };
