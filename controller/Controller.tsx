import { useEffect, useState } from "preact/hooks";
import { After } from "./after/After.tsx";
import { LinkContext, useLink } from "./link/context.tsx";
import { createLink, type Link } from "./link/link.ts";
import { wakeWith } from "./link/wake.ts";
import { type Awake, keepAwake } from "./live/awake.ts";
import { Live } from "./live/Live.tsx";
import { Pair } from "./pair/Pair.tsx";
import { PreparationContext } from "./prepare/context.tsx";
import { lineTo } from "./prepare/line.ts";
import { Prepare } from "./prepare/Prepare.tsx";
import { PreparationStore } from "./prepare/store.ts";
import { Sessions } from "./sessions/Sessions.tsx";
import { browserStore, keepToken, readToken } from "./token.ts";

const store = browserStore();

/** The whole controller: paired or to be paired, and then the live screen. */
export function Controller() {
  const [token, setToken] = useState(() => readToken(store));
  const [link, setLink] = useState<Link | null>(null);
  useEffect(() => {
    if (token === null) return;
    const made = createLink({ token, storage: store });
    const end = wakeWith(made);
    setLink(made);
    return () => {
      end();
      made.close();
      setLink(null);
    };
  }, [token]);
  if (token === null) {
    return (
      <Pair
        onToken={(given) => {
          keepToken(store, given);
          setToken(given);
        }}
      />
    );
  }
  if (link === null) return null;
  return (
    <LinkContext.Provider value={link}>
      <Paired
        token={token}
        onRefused={() => {
          keepToken(store, null);
          setToken(null);
        }}
      />
    </LinkContext.Provider>
  );
}

function Paired({ token, onRefused }: { token: string; onRefused: () => void }) {
  const { state, connection, presence } = useLink();
  const [place, setPlace] = useState<"live" | "sessions" | "prepare" | "after" | null>(null);
  const preparation = usePreparationStore(token);
  const prepared = presence?.prepared;
  useEffect(() => {
    if (prepared !== undefined) preparation?.heard(prepared);
  }, [preparation, prepared]);
  const awake = useAwake();
  const refused = connection === "refused";
  useEffect(() => {
    if (refused) onRefused();
  }, [refused]);
  // A tablet that comes back in the middle of a stream goes straight to the pour.
  const phase = state?.phase;
  useEffect(() => {
    if (phase) setPlace((was) => was ?? (phase === "live" ? "live" : "sessions"));
  }, [phase]);
  if (place === "sessions") {
    return (
      <Sessions
        token={token}
        onBenchChosen={() => setPlace("live")}
        onPrepare={() => setPlace("prepare")}
        onAfter={() => setPlace("after")}
      />
    );
  }
  if (place === "after" && preparation) {
    return (
      <PreparationContext.Provider value={preparation}>
        <After
          token={token}
          onSessions={() => setPlace("sessions")}
          onPrepare={() => setPlace("prepare")}
        />
      </PreparationContext.Provider>
    );
  }
  if (place === "prepare" && preparation) {
    return (
      <PreparationContext.Provider value={preparation}>
        <Prepare token={token} onBench={() => setPlace("sessions")} />
      </PreparationContext.Provider>
    );
  }
  if (state && place === "live") {
    return <Live state={state} awake={awake} onSessions={() => setPlace("sessions")} />;
  }
  return (
    <main class="looking">
      <h1>{connection === "on" ? "The bench is coming" : "Looking for Pourside"}</h1>
      <p>
        {connection === "off"
          ? "It does not answer. See that the computer that runs it is on, and that this tablet is on the same network. This page goes on trying."
          : "One moment."}
      </p>
    </main>
  );
}

function usePreparationStore(token: string): PreparationStore | null {
  const [store, setStore] = useState<PreparationStore | null>(null);
  useEffect(() => {
    const made = new PreparationStore(lineTo(token));
    setStore(made);
    return () => made.close();
  }, [token]);
  return store;
}

function useAwake(): Awake {
  const [awake, setAwake] = useState<Awake>("asleep");
  useEffect(() => {
    const keeper = keepAwake(() => setAwake(keeper.state()));
    setAwake(keeper.state());
    return () => keeper.end();
  }, []);
  return awake;
}
