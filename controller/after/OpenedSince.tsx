import { useEffect, useMemo, useState } from "preact/hooks";
import type { State } from "../../shared/session/state.ts";
import { deskOf } from "../sessions/desk.ts";

/** Says that a later session may have drawn on the same bottles, which this one cannot know. */
export function OpenedSince({ state, token }: { state: State; token: string }) {
  const desk = useMemo(() => deskOf(token), [token]);
  const [name, setName] = useState<string | null>(null);
  const { session, liveAt } = state;
  useEffect(() => {
    let open = true;
    void desk.sessions().then((lines) => {
      if (!open || !lines.ok) return;
      const later = lines.value.filter(
        ({ id, phase, openedAt }) =>
          id !== session && phase !== "ready" && openedAt > (liveAt ?? Number.POSITIVE_INFINITY),
      );
      setName(later.at(-1)?.name ?? null);
    });
    return () => {
      open = false;
    };
  }, [desk, session, liveAt]);
  if (name === null) return null;
  return (
    <p class="measure" role="status">
      <bdi>{name}</bdi> was opened since. What it drew from these bottles is not counted here: hold
      them to the light first.
    </p>
  );
}
