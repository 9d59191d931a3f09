import { useState } from "preact/hooks";
import type { SessionLine } from "../../shared/session/wire.ts";
import { dayText } from "./dayText.ts";
import type { deskOf } from "./desk.ts";

const phases: Readonly<Record<SessionLine["phase"], string>> = {
  ready: "not live yet",
  live: "live",
  closed: "closed",
};

/** What {@link OtherSessions} list. */
export interface OtherSessionsProps {
  desk: ReturnType<typeof deskOf>;
  sessions: readonly SessionLine[] | null;
  /** The publishing kit of a session is wanted. */
  onPublish: (session: string) => void;
}

/** The sessions in the record that are not on the bench; any of them can be put there. */
export function OtherSessions({ desk, sessions, onPublish }: OtherSessionsProps) {
  const [said, setSaid] = useState<string | null>(null);
  const others = (sessions ?? [])
    .filter(({ onBench }) => !onBench)
    .sort((a, b) => b.lastAt - a.lastAt);
  const put = async (id: string) => {
    const answer = await desk.putOnBench(id);
    setSaid(answer.ok ? null : answer.say);
  };
  return (
    <section class="sessions-part" aria-labelledby="others-title">
      <h2 id="others-title">Other sessions</h2>
      {sessions !== null && others.length === 0 && (
        <p class="sessions-lead">
          None yet. Every session that was ever on the bench stays in the record and comes to stand
          here; a closed one can be put back on the bench and reopened.
        </p>
      )}
      <ul class="others">
        {others.map(({ id, name, phase, openedAt, lastAt }) => (
          <li key={id}>
            <p>
              <bdi class="others-name">{name}</bdi>
              <span class="others-note figures">
                {phases[phase]}, opened {dayText(openedAt)}, last written {dayText(lastAt)}
              </span>
            </p>
            <div class="others-ways">
              <button
                type="button"
                class="sessions-button"
                aria-label={`Put ${name} on the bench`}
                onClick={() => put(id)}
              >
                Put on the bench
              </button>
              {phase !== "ready" && (
                <button
                  type="button"
                  class="sessions-button"
                  aria-label={`Publishing kit of ${name}`}
                  onClick={() => onPublish(id)}
                >
                  Publishing kit
                </button>
              )}
            </div>
          </li>
        ))}
      </ul>
      <p class="sessions-said" role="alert">
        {said}
      </p>
    </section>
  );
}
