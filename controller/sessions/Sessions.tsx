import "./sessions.css";
import { AddressList } from "./AddressList.tsx";
import { OnBench } from "./OnBench.tsx";
import { OpenSheet } from "./OpenSheet.tsx";
import { OtherSessions } from "./OtherSessions.tsx";
import { Tablets } from "./Tablets.tsx";
import { useDesk } from "./useDesk.ts";

/** What {@link Sessions} are told. */
export interface SessionsProps {
  token: string;
  /** The dyer is done here and wants the live screen. */
  onBenchChosen: () => void;
  /** The way to shelf, stocks and plans. */
  onPrepare: () => void;
}

/** Before and after the stream: what is on the bench, and which session is to be. */
export function Sessions({ token, onBenchChosen, onPrepare }: SessionsProps) {
  const { desk, sessions, addresses, trouble, refresh } = useDesk(token);
  return (
    <main class="sessions">
      <OnBench onBenchChosen={onBenchChosen} />
      <div class="sessions-side">
        <button type="button" class="sessions-button sessions-prepare" onClick={onPrepare}>
          Prepare: shelf, stocks and plans
        </button>
        {trouble !== null && (
          <div class="sessions-trouble" role="alert">
            <p>{trouble}</p>
            <button type="button" class="sessions-button" onClick={refresh}>
              Try again
            </button>
          </div>
        )}
        <OpenSheet desk={desk} />
        <OtherSessions desk={desk} sessions={sessions} />
        <AddressList addresses={addresses} />
      </div>
      <Tablets desk={desk} addresses={addresses} />
    </main>
  );
}
