import { deferral } from "../../shared/cautions/cautions.ts";
import type { OverlayParts, OverlayView } from "../../shared/session/event.ts";
import { Choice } from "./Choice.tsx";
import { CodeOnScreen } from "./CodeOnScreen.tsx";
import { SaidLine } from "./SaidLine.tsx";
import { ScreenPicture } from "./ScreenPicture.tsx";
import { useAct } from "./useAct.ts";

const views: readonly { value: OverlayView; label: string; note: string }[] = [
  {
    value: "auto",
    label: "Follow the session",
    note: "the pour, the wait or the tally, as it goes",
  },
  { value: "waiting", label: "Waiting", note: "the name of the session, before it starts" },
  { value: "tally", label: "Tally", note: "what every skein has had so far" },
  { value: "recap", label: "Recap card", note: "the whole recipe, to end with" },
  { value: "hidden", label: "Hidden", note: "nothing but running cautions" },
];

const parts: readonly { value: keyof OverlayParts; label: string; note: string }[] = [
  { value: "depth", label: "Depth of shade", note: "so far and after the pour" },
  { value: "rule", label: "Graduated rule", note: "under the volume" },
  { value: "timers", label: "Timers", note: "of heat, steam and rest" },
  { value: "count", label: "Count", note: "pour 7 of 19" },
];

/** Delays that streams usually have, s; common practice, no source. */
const holdBacks = [0, 5, 10, 20, 30, 60];

const viewNames = Object.fromEntries(views.map(({ value, label }) => [value, label]));

/** What the viewers see on the broadcast page. Each tap is shown at once. */
export function Screen() {
  const { state, said, act } = useAct();
  if (state === null) return null;
  const { view, parts: shown, code } = state.overlay;
  const chosen = parts.map(({ value }) => value).filter((part) => shown[part]);
  return (
    <section class="screen">
      <header class="form-head">
        <h2>On screen</h2>
      </header>
      <div class="screen-views">
        <Choice
          label="What the broadcast page shows"
          columns={1}
          options={views}
          chosen={view}
          onChoose={(next) =>
            act({ type: "show", view: next, parts: shown }, `On screen: ${viewNames[next]}.`)
          }
        />
        <CodeOnScreen code={code} act={act} />
      </div>
      <div class="screen-parts">
        <ScreenPicture view={view} parts={shown} code={code !== undefined} />
        <Choice
          label="Parts of it"
          columns={2}
          options={parts.map((part) => ({
            ...part,
            note: shown[part.value] ? part.note : "off",
          }))}
          chosen={chosen}
          onChoose={(part) => {
            const on = !shown[part];
            const label = parts.find(({ value }) => value === part)?.label ?? part;
            void act(
              { type: "show", view, parts: { ...shown, [part]: on } },
              `${label}: ${on ? "on" : "off"}.`,
            );
          }}
        />
        <Choice
          label="Viewers' phones wait for the stream"
          columns={3}
          options={holdBacks.map((seconds) => ({
            value: seconds,
            label: seconds === 0 ? "No wait" : `${seconds}\u202fs`,
            note: seconds === 0 ? "as you tap" : "behind your tap",
          }))}
          chosen={state.holdBackSeconds ?? 0}
          onChoose={(seconds) =>
            act(
              { type: "holdBack", seconds },
              seconds === 0
                ? "Viewers' phones show each pour at once."
                : `Viewers' phones are ${seconds}\u202fs behind, as the stream is.`,
            )
          }
        />
        <SaidLine said={said} />
        <p class="lead">
          Cautions stay on screen whatever is hidden, for as long as their hazard lasts. {deferral}
        </p>
      </div>
    </section>
  );
}
