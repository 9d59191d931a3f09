import type { Said } from "./useAct.ts";

/** The answer to what was asked for, in the place where it was asked. */
export function SaidLine({ said }: { said: Said | null }) {
  return (
    <p class="said" data-tone={said?.tone} role={said?.tone === "refused" ? "alert" : "status"}>
      <bdi>{said?.say}</bdi>
    </p>
  );
}
