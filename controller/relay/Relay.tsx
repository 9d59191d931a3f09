import "./relay.css";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import type { RelayReport } from "../../shared/session/wire.ts";
import { SaidLine } from "../bench/SaidLine.tsx";
import type { Said } from "../bench/useAct.ts";
import { useLink } from "../link/context.tsx";
import { browserStore, readToken } from "../token.ts";
import { type Reported, relayDesk } from "./desk.ts";
import { Invitation } from "./Invitation.tsx";
import { nameOf, sayFollowers, sayRelay } from "./say.ts";

/** The way to the relay: where it is, how it goes, and how many follow over it. */
export function Relay() {
  const { presence } = useLink();
  const desk = useMemo(() => relayDesk(readToken(browserStore()) ?? ""), []);
  const [read, setRead] = useState<RelayReport | null>(null);
  const [said, setSaid] = useState<Said | null>(null);
  const open = useRef(true);
  const take = async (asked: Promise<Reported>, done?: string): Promise<boolean> => {
    const answer = await asked;
    if (!open.current) return answer.ok;
    if (answer.ok) {
      setRead(answer.report);
      setSaid(done === undefined ? null : { tone: "done", say: done });
    } else setSaid({ tone: "refused", say: answer.say });
    return answer.ok;
  };
  useEffect(() => {
    void take(desk.report());
    return () => {
      open.current = false;
    };
  }, []);
  // What the server says by itself is never older than an answer, once it has said something.
  const report = presence?.relay ?? read;
  const word = report && sayRelay(report);
  return (
    <section class="relay">
      <header class="form-head">
        <h2>Beyond the room</h2>
      </header>
      <p class="relay-word" data-ill={word?.ill} role="status">
        <bdi>{word?.say}</bdi>
      </p>
      {report?.state === "on" && <p class="relay-followers">{sayFollowers(report)}</p>}
      <SaidLine said={said} />
      {report && (
        <div class="relay-parts">
          <Access
            key={report.address}
            report={report}
            onSettle={(address, key) => take(desk.settle(address, key))}
            onRenew={() => take(desk.renew(), "The old key is dead. This bench has a new one.")}
            onForget={() => take(desk.forget(), "Address and key are forgotten.")}
          />
          {report.address !== null && report.state !== "refused" && (
            <Invitation address={`${report.address}/follow`} />
          )}
        </div>
      )}
    </section>
  );
}

type AccessProps = {
  report: RelayReport;
  onSettle: (address: string, key: string) => Promise<boolean>;
  onRenew: () => void;
  onForget: () => void;
};

/** Address and key of the relay; the key is typed or pasted once and never shown again. */
function Access({ report, onSettle, onRenew, onForget }: AccessProps) {
  const [address, setAddress] = useState(nameOf(report.address ?? ""));
  const [key, setKey] = useState("");
  return (
    <form
      class="relay-part"
      aria-labelledby="relay-link"
      onSubmit={async (event) => {
        event.preventDefault();
        // A relay in the same room has no certificate, and its address says so.
        const plain = report.address?.startsWith("http://") && nameOf(report.address) === address;
        if (await onSettle(plain ? `http://${address}` : address, key)) setKey("");
      }}
    >
      <h3 id="relay-link">Relay</h3>
      <label class="name-field">
        <span>Address</span>
        <input
          type="text"
          dir="ltr"
          inputMode="url"
          maxLength={300}
          autocomplete="off"
          autocapitalize="off"
          spellcheck={false}
          placeholder="pours.example"
          value={address}
          onInput={(event) => setAddress(event.currentTarget.value)}
        />
      </label>
      <label class="name-field">
        <span>Key</span>
        <input
          type="password"
          dir="ltr"
          maxLength={200}
          autocomplete="off"
          placeholder={report.address === null ? "" : "a key is kept"}
          value={key}
          onInput={(event) => setKey(event.currentTarget.value)}
        />
      </label>
      <p class="lead">
        The relay prints its key at its first start. Paste both here once: they stay on Pourside's
        computer, in a file that only its owner may read.
      </p>
      <div class="row">
        <button type="submit" class="green-button">
          Link
        </button>
        {report.address !== null && (
          <>
            <button type="button" class="quiet-button" onClick={onRenew}>
              Take a new key
            </button>
            <button type="button" class="quiet-button" onClick={onForget}>
              Forget both
            </button>
          </>
        )}
      </div>
      {report.address !== null && (
        <p class="lead">
          If the key got into other hands, take a new one: the old one is dead at once, and this
          bench has the new one by itself.
        </p>
      )}
    </form>
  );
}
