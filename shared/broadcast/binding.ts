import { currentStep, type State } from "../session/state.ts";

/** Kinds of step that a scene can be bound to. */
export const sceneKinds = ["waiting", "pour", "heat", "swatch", "recap"] as const;

/**
 * `waiting`: before going live; `pour`: something goes into a pan; `heat`: heat, steam or rest is
 * what comes next; `swatch`: only when the dyer asks for it; `recap`: at the end, and whenever the
 * recap card is on screen.
 */
export type SceneKind = (typeof sceneKinds)[number];

/** Name of the scene for each kind; a kind without one leaves the scene as it is. */
export type Bindings = Partial<Record<SceneKind, string>>;

/** The kind of step that the session is at. `swatch` is never one of its own accord. */
export function kindNow(state: State): Exclude<SceneKind, "swatch"> {
  if (state.phase === "closed" || state.overlay.view === "recap") return "recap";
  if (state.phase === "ready") return "waiting";
  const step = currentStep(state);
  if (step === null) return "recap";
  return step.kind === "heat" ? "heat" : "pour";
}

/** A scene that was renamed keeps what was bound to it. */
export function renamed(bindings: Bindings, from: string, to: string): Bindings {
  const next: Bindings = {};
  for (const kind of sceneKinds) {
    const scene = bindings[kind];
    if (scene !== undefined) next[kind] = scene === from ? to : scene;
  }
  return next;
}

/** Bound scenes that are not in the list, each once. */
export function missing(bindings: Bindings, scenes: readonly string[]): string[] {
  const bound = new Set(Object.values(bindings));
  return [...bound].filter((scene) => !scenes.includes(scene));
}
