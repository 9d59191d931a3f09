import type { Run } from "./anchor.ts";
import type { Bindings, SceneKind } from "./binding.ts";

/** How the link to the broadcasting software is. */
export type LinkState =
  | "none"
  | "connecting"
  | "on"
  | "away"
  | "wrongPassword"
  | "stranger"
  | "flood";

/** What every controller is told at once. `ill` asks for the dyer's eye. */
export type BroadcastWord = {
  state: LinkState;
  /** A few words for the line at the top. */
  brief: string;
  /** A whole sentence. */
  say: string;
  ill: boolean;
  /** A scene that was chosen at the broadcaster, which holds the switching. */
  heldBy: string | null;
  /** What Pourside did last of its own accord, and when (server's ms). */
  did: { say: string; at: number } | null;
};

/** What the controller's broadcast screen shows. Holds no password. */
export type BroadcastReport = {
  word: BroadcastWord;
  address: string | null;
  passwordKept: boolean;
  /** Whether the build has browser sources; `null` while that is not known. */
  browserSources: boolean | null;
  /** Whether the build writes chapter marks into a recording. */
  chapterMarks: boolean | null;
  scenes: readonly string[];
  sources: readonly string[];
  currentScene: string | null;
  bindings: Bindings;
  kind: SceneKind | null;
  runs: readonly Run[];
  /** The run whose times chapters are given in. */
  run: string | null;
  offsetMs: number;
};

/** The link in a few words, and in a sentence with the address it speaks of. */
export function sayLink(
  state: LinkState,
  address: string,
): Pick<BroadcastWord, "brief" | "say" | "ill"> {
  switch (state) {
    case "none":
      return {
        brief: "no broadcaster set",
        say: "Pourside is not linked to the broadcasting software, and works without it.",
        ill: false,
      };
    case "connecting":
      return { brief: "calling broadcaster", say: `Calling ${address}.`, ill: false };
    case "on":
      return { brief: "broadcaster linked", say: `Linked to ${address}.`, ill: false };
    case "away":
      return {
        brief: "broadcaster away",
        say: `The broadcasting software does not answer at ${address}. Open it and switch its WebSocket server on; Pourside goes on calling.`,
        ill: true,
      };
    case "wrongPassword":
      return {
        brief: "broadcaster: password",
        say: "The broadcasting software does not take this password. Type the one of its WebSocket server again; until then Pourside tries once a minute.",
        ill: true,
      };
    case "stranger":
      return {
        brief: "not the broadcaster",
        say: `What answers at ${address} is not the WebSocket server of broadcasting software (protocol 5). See that the port is right.`,
        ill: true,
      };
    case "flood":
      return {
        brief: "broadcaster cut off",
        say: `What answers at ${address} sent far more than broadcasting software does, so it was cut off. Pourside tries again in a while.`,
        ill: true,
      };
  }
}
