import "./broadcast.css";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import type { BroadcastReport } from "../../shared/broadcast/report.ts";
import { SaidLine } from "../bench/SaidLine.tsx";
import type { Said } from "../bench/useAct.ts";
import { useLink } from "../link/context.tsx";
import { browserStore, readToken } from "../token.ts";
import { Access } from "./Access.tsx";
import { Chapters } from "./Chapters.tsx";
import { broadcastDesk, type Told } from "./desk.ts";
import type { PartProps } from "./part.ts";
import { ScenesOf } from "./ScenesOf.tsx";
import { Still } from "./Still.tsx";

/** The link to the broadcasting software: where it is, what it shows, and what the video gets. */
export function Broadcast() {
  const { presence, state } = useLink();
  const desk = useMemo(() => broadcastDesk(readToken(browserStore()) ?? ""), []);
  const [report, setReport] = useState<BroadcastReport | null>(null);
  const [said, setSaid] = useState<Said | null>(null);
  const open = useRef(true);
  const read = async () => {
    const answer = await desk.report();
    if (!open.current) return;
    if (answer.ok) setReport(answer.value);
    else setSaid({ tone: "refused", say: answer.say });
  };
  useEffect(() => {
    void read();
  }, [JSON.stringify(presence?.broadcast), state?.seq]);
  useEffect(
    () => () => {
      open.current = false;
    },
    [],
  );
  const say = async (told: Promise<Told>) => {
    const answer = await told;
    if (!open.current) return;
    setSaid({ tone: answer.ok ? "done" : "refused", say: answer.say });
    await read();
  };
  const word = presence?.broadcast ?? report?.word;
  return (
    <section class="broadcast">
      <header class="form-head">
        <h2>Broadcasting software</h2>
      </header>
      <p class="broadcast-word" data-ill={word?.ill}>
        {word?.say}
      </p>
      {word?.did && <p class="lead">{word.did.say}</p>}
      {word && word.heldBy !== null && (
        <div class="broadcast-held">
          <p>
            “<bdi>{word.heldBy}</bdi>” was chosen at the broadcasting software. Scenes are left
            alone until you let them follow.
          </p>
          <button
            type="button"
            class="green-button"
            onClick={() => say(desk.tell("POST", "/follow", "Scenes follow the session again."))}
          >
            Follow again
          </button>
        </div>
      )}
      <SaidLine said={said} />
      {report && (
        <div class="broadcast-parts">
          <Access report={report} desk={desk} say={say} />
          <Overlay report={report} desk={desk} say={say} />
          <ScenesOf report={report} desk={desk} say={say} />
          <Chapters report={report} desk={desk} say={say} />
          <Still report={report} desk={desk} say={say} />
        </div>
      )}
    </section>
  );
}

function Overlay({ report, desk, say }: PartProps) {
  if (report.word.state !== "on") return null;
  return (
    <section class="broadcast-part" aria-labelledby="broadcast-overlay">
      <h3 id="broadcast-overlay">Overlay</h3>
      {report.browserSources === false ? (
        <>
          <p class="lead">
            This build has no browser source. Four plain texts can stand in: stock, volume, depth of
            shade and caution. They follow the session.
          </p>
          <button
            type="button"
            class="quiet-button"
            onClick={() => say(desk.tell("POST", "/texts", "The texts are there."))}
          >
            Put four texts into this scene
          </button>
        </>
      ) : (
        <>
          <p class="lead">
            Goes into the scene that is on, as large as the canvas. If it is there already, it is
            brought up to date. When it falls silent it is reloaded by itself.
          </p>
          <button
            type="button"
            class="green-button"
            onClick={() => say(desk.tell("POST", "/overlay", "The overlay is there."))}
          >
            Put the overlay into this scene
          </button>
          <p class="lead">
            Is the broadcasting software opened before Pourside? Its browser source can be given
            this local file instead, which waits.
          </p>
          <a class="quiet-button" href="/overlay/waiting-file" download="pourside-overlay.html">
            Download the waiting file
          </a>
        </>
      )}
    </section>
  );
}
