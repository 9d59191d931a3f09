import { useState } from "preact/hooks";
import type { Id } from "../../shared/session/setup.ts";
import { useLink } from "../link/context.tsx";
import { deskOf, type PlanAnswer } from "../sessions/desk.ts";
import { Twice } from "../sessions/Twice.tsx";
import { usePreparation } from "./context.tsx";

/** What {@link ToBench} is told. */
export interface ToBenchProps {
  token: string;
  plan: Id;
  onBench: () => void;
}

/** From the plan to the bench: opens a session from it, or brings changes to the one that is open. */
export function ToBench({ token, plan, onBench }: ToBenchProps) {
  const { state } = useLink();
  const { saving } = usePreparation();
  const [wrong, setWrong] = useState<readonly string[]>([]);
  const [done, setDone] = useState<string | null>(null);
  const ours = state?.plan === plan && state.phase !== "closed";
  const live = state?.phase === "live";
  const take = (answer: PlanAnswer, then: () => void) => {
    setWrong(answer.ok ? [] : answer.problems.map(({ say }) => say));
    if (answer.ok) then();
  };
  const open = async () => {
    setDone(null);
    take(await deskOf(token).openPlan(plan), onBench);
  };
  const bring = async () => {
    setDone(null);
    take(await deskOf(token).bringPlan(plan), () =>
      setDone("The bench has it. The pour sheet and the viewers follow."),
    );
  };
  const ready = saving === "saved";
  return (
    <div class="prepare-to-bench">
      {ours ? (
        <button type="button" class="green-button" disabled={!ready} onClick={() => void bring()}>
          Bring the changes to the bench
        </button>
      ) : live ? (
        <Twice
          ask="Open on the bench"
          again="Another session is live. Tap again to put this one on the bench"
          onDo={() => void open()}
        />
      ) : (
        <button type="button" class="green-button" disabled={!ready} onClick={() => void open()}>
          Open on the bench
        </button>
      )}
      <div role="alert">
        {done !== null && <p>{done}</p>}
        {wrong.length > 0 && (
          <ul class="prepare-wrong">
            {wrong.slice(0, 8).map((say) => (
              <li key={say}>{say}</li>
            ))}
            {wrong.length > 8 && <li>{`And ${wrong.length - 8} more.`}</li>}
          </ul>
        )}
      </div>
    </div>
  );
}
