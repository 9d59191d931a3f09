import { useEffect, useState } from "preact/hooks";

/** How long a first tap is remembered, ms. */
const patienceMs = 6_000;

/** A button for what is asked twice: the first tap only changes its words. */
export function Twice({ ask, again, onDo }: { ask: string; again: string; onDo: () => void }) {
  const [sure, setSure] = useState(false);
  useEffect(() => {
    if (!sure) return;
    const forget = setTimeout(() => setSure(false), patienceMs);
    return () => clearTimeout(forget);
  }, [sure]);
  return (
    <button
      type="button"
      class="sessions-button"
      data-sure={sure}
      onClick={() => {
        setSure(!sure);
        if (sure) onDo();
      }}
    >
      {sure ? again : ask}
    </button>
  );
}
