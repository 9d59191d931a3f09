import type { ComponentChildren } from "preact";
import type { Id } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";

/** What each form of the bath is given: the pan, and the choices that stand above it. */
export interface BathFormProps {
  state: State;
  pan: Id;
  head: ComponentChildren;
}
