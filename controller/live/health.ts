import { showCount } from "../../shared/dye/display.ts";
import type { Presence } from "../../shared/session/wire.ts";
import type { LinkValue } from "../link/link.ts";
import { hourText } from "./time.ts";

/** One line of how the house is. `ill` asks for the dyer's eye. */
export type Line = { say: string; ill: boolean };

/** How long a broadcast page may take to paint before it is said to lag, ms. */
const paintMs = 3_000;

/**
 * Whether the viewers see what the record says. `changedAt` is when the newest event reached the
 * tablet, server's ms.
 */
export function overlayHealth(
  presence: Presence | null,
  session: string,
  seq: number,
  changedAt: number,
  now: number,
): Line {
  if (presence === null) return { say: "overlay not known", ill: false };
  const { overlays, overlaySession, overlaySeq, overlayHeardAt } = presence;
  if (overlays === 0) {
    return overlayHeardAt === null
      ? { say: "no overlay open", ill: true }
      : { say: `overlay not heard since ${hourText(overlayHeardAt)}`, ill: true };
  }
  const current = overlaySession === session && overlaySeq >= seq;
  if (current) return { say: "overlay shows it", ill: false };
  if (now - changedAt < paintMs) return { say: "overlay is painting", ill: false };
  return {
    say:
      overlayHeardAt === null
        ? "overlay is open but silent"
        : `overlay behind since ${hourText(overlayHeardAt)}`,
    ill: true,
  };
}

/** Whether what was tapped is on disk. */
export function recordHealth(
  link: Pick<LinkValue, "connection" | "queued" | "offSince" | "kept" | "unwritten">,
): Line {
  const { connection, queued, offSince, kept, unwritten } = link;
  const waiting = kept ? showCount(queued, "tap") : `${showCount(queued, "tap")}, not stored,`;
  if (connection === "off" || connection === "refused") {
    if (queued > 0) return { say: `offline, ${waiting} waiting`, ill: true };
    return { say: `offline since ${offSince === null ? "now" : hourText(offSince)}`, ill: true };
  }
  if (queued === 0) return { say: "record is safe", ill: false };
  if (unwritten) return { say: `not written, ${waiting} waiting`, ill: true };
  return { say: `${waiting} on the way`, ill: queued > 3 || !kept };
}

/** The link to the broadcasting software; nothing where there is none to be. */
export function broadcastHealth(presence: Presence | null): Line | null {
  const word = presence?.broadcast;
  if (!word || word.state === "none") return null;
  if (word.heldBy !== null) return { say: "scene held", ill: true };
  return { say: word.brief, ill: word.ill };
}

export function viewers(presence: Presence | null): Line {
  if (presence === null) return { say: "viewers not known", ill: false };
  const followers = presence.followers + (presence.relay?.followers ?? 0);
  return { say: followers === 0 ? "no one follows" : `${followers} following`, ill: false };
}

export function otherTablets(presence: Presence | null): Line | null {
  const others = (presence?.controllers ?? 1) - 1;
  return others > 0 ? { say: showCount(others, "more tablet"), ill: false } : null;
}
