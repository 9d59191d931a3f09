import { createContext } from "preact";
import { useContext, useLayoutEffect, useReducer } from "preact/hooks";
import type { Change } from "../../shared/prepare/change.ts";
import type { PrepareAnswer } from "../../shared/prepare/word.ts";
import type { PreparationStore, Preparing } from "./store.ts";

export const PreparationContext = createContext<PreparationStore | null>(null);

/** Shelf and plans, drawn anew on every change, and what can be done to them. */
export function usePreparation(): Preparing & {
  change(change: Change): Promise<PrepareAnswer>;
  undo(): Promise<void>;
  redo(): Promise<void>;
  hush(): void;
} {
  const store = useContext(PreparationContext);
  if (store === null) throw new Error("usePreparation stands outside of a PreparationContext.");
  const [, draw] = useReducer((count: number) => count + 1, 0);
  const shown = store.value();
  useLayoutEffect(() => {
    const end = store.subscribe(() => draw(undefined));
    if (store.value() !== shown) draw(undefined);
    return end;
  }, [store]);
  return {
    ...shown,
    change: (change) => store.change(change),
    undo: () => store.undo(),
    redo: () => store.redo(),
    hush: () => store.hush(),
  };
}
