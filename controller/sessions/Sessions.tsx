import "./sessions.css";
import { useState } from "preact/hooks";
import { PublishingKit } from "../recap/PublishingKit.tsx";
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
  /** The way to what is written once the session on the bench has been closed. */
  onAfter: () => void;
}

/** Before and after the stream: what is on the bench, and which session is to be. */
export function Sessions({ token, onBenchChosen, onPrepare, onAfter }: SessionsProps) {
  const { desk, sessions, addresses, trouble, refresh } = useDesk(token);
  const [published, setPublished] = useState<string | null>(null);
  if (published !== null) {
    return <PublishingKit token={token} session={published} onBack={() => setPublished(null)} />;
  }
  return (
    <main class="sessions">
      <OnBench onBenchChosen={onBenchChosen} onPublish={setPublished} onAfter={onAfter} />
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
        <OtherSessions desk={desk} sessions={sessions} onPublish={setPublished} />
        <AddressList addresses={addresses} />
      </div>
      <Tablets desk={desk} addresses={addresses} />
    </main>
  );
}
