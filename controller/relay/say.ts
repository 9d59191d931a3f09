import { showCount } from "../../shared/dye/display.ts";
import type { RelayReport } from "../../shared/session/wire.ts";

/** The name of a relay, as it is read aloud. */
export function nameOf(address: string): string {
  return address.replace(/^https?:\/\//, "");
}

/** How the way to the relay is, in a sentence; `ill` asks for the dyer's eye. */
export function sayRelay({ state, say, address }: RelayReport): { say: string; ill: boolean } {
  const name = nameOf(address ?? "");
  switch (state) {
    case "off":
      return { say: "No relay is set. Only viewers in this room can follow.", ill: false };
    case "dialling":
      return { say: say ?? `Calling ${name}.`, ill: say !== null };
    case "on":
      return { say: say ?? `Linked to ${name}. Viewers at home can follow.`, ill: say !== null };
    case "refused":
      return { say: say ?? `${name} refuses this bench.`, ill: true };
  }
}

/** How many follow over the relay. */
export function sayFollowers({ followers }: RelayReport): string {
  return followers === 0
    ? "Nobody follows over it yet."
    : `${showCount(followers, "viewer")} ${followers === 1 ? "follows" : "follow"} over it.`;
}
