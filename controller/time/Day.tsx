import { hatchPath } from "../../shared/draw/hatch.ts";
import { fitText } from "../../shared/draw/letters.ts";
import { minuteScale } from "../../shared/draw/minutes.ts";
import {
  FACE,
  INK,
  WOOL_DEEP,
  WOOL_LIGHT,
  WOOL_QUIET,
  WOOL_RULE,
} from "../../shared/draw/palette.ts";
import type { Plan } from "../../shared/plan/plan.ts";
import type { Schedule, Slot } from "../../shared/plan/schedule.ts";
import type { Shelf } from "../../shared/shelf/shelf.ts";
import { sayStepOf } from "../plan/say.ts";
import { clockText, minutesText } from "../prepare/minutes.ts";
import { places, whereText } from "./where.ts";

const width = 1120;
const left = 112;
const track = 44;
/** What goes on before and after the stream is drawn for so long, s; longer waits run off the tape. */
const besideSeconds = 1_800;

type Track = { name: string; slots: readonly Slot[] };

/** The day as a tape of minutes: what the hands do, and what stands on each ring and steamer. */
export function Day(props: { plan: Plan; shelf: Shelf; schedule: Schedule }) {
  const { plan, shelf, schedule } = props;
  const from = -Math.min(schedule.beforeSeconds, besideSeconds);
  const to = Math.min(
    Math.max(schedule.endSeconds, 60),
    Math.max(schedule.streamSeconds, 60) + besideSeconds,
  );
  const x = (seconds: number) =>
    left + ((Math.max(from, Math.min(seconds, to)) - from) / (to - from)) * (width - left - 8);
  const tracks = tracksOf(schedule);
  const height = 40 + tracks.length * track;
  const { ticks, mainS } = minuteScale(to - from);
  const panName = (slot: Slot) => plan.pans.find(({ id }) => id === slot.task.pan)?.name ?? "";
  const stepOf = (slot: Slot) => plan.steps.find(({ id }) => id === slot.task.id);
  return (
    <section class="day" aria-label="When each step happens">
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls has to be in reach of the keys (WCAG 2.2, 2.1.1). */}
      <section class="day-tape" tabIndex={0} aria-label="Tape of minutes">
        <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
          {ticks
            .filter(({ rank }) => rank === "main")
            .map(({ at }) => (
              <g key={at}>
                <path d={`M${x(from + at)} 22V${height}`} stroke={WOOL_RULE} stroke-width="1" />
                <text
                  x={x(from + at)}
                  y="16"
                  text-anchor="middle"
                  font-family={FACE}
                  font-size="13"
                  fill={WOOL_QUIET}
                >
                  {tickText(from + at, mainS)}
                </text>
              </g>
            ))}
          <path d={`M${x(0)} 4V${height}`} stroke={INK} stroke-width="3" />
          <path
            d={`M${x(schedule.streamSeconds)} 4V${height}`}
            stroke={INK}
            stroke-width="3"
            stroke-dasharray="6 5"
          />
          {tracks.map(({ name, slots }, row) => (
            <g key={name} transform={`translate(0 ${30 + row * track})`}>
              <text x="0" y="24" font-family={FACE} font-size="15" font-weight="560" fill={INK}>
                {fitText(name, 15, left - 10)}
              </text>
              <path d={`M${left} ${track - 4}H${width}`} stroke={WOOL_RULE} stroke-width="1" />
              {slots
                .filter((slot) => slot.startSeconds < to && slot.endSeconds > from)
                .map((slot) => {
                  const at = x(slot.startSeconds);
                  const wide = Math.max(2, x(slot.endSeconds) - at - 1);
                  const label = `${panName(slot)} ${minutesText(slot.endSeconds - slot.startSeconds)}`;
                  return (
                    <g key={slot.task.id} transform={`translate(${at} 2)`}>
                      <rect
                        width={wide}
                        height={track - 8}
                        fill={slot.task.onAir ? WOOL_LIGHT : WOOL_DEEP}
                        stroke={INK}
                        stroke-width="1.25"
                      />
                      {!slot.task.onAir && (
                        <path
                          d={hatchPath(0, 0, wide, track - 8, 9)}
                          stroke={WOOL_RULE}
                          stroke-width="1"
                          fill="none"
                        />
                      )}
                      {wide > 30 && (
                        <text
                          x="5"
                          y="23"
                          font-family={FACE}
                          font-size="14"
                          fill={INK}
                          style="font-variant-numeric: tabular-nums"
                        >
                          {fitText(label, 14, wide - 8)}
                        </text>
                      )}
                    </g>
                  );
                })}
            </g>
          ))}
        </svg>
      </section>
      <p class="time-note">
        The full line is the start of the stream, the broken one its end. What is not on air is
        hatched; what goes on overnight runs off the tape.
      </p>
      <details>
        <summary>The same as a list</summary>
        <table class="day-list figures">
          <thead>
            <tr>
              <th scope="col">Begins</th>
              <th scope="col">Step</th>
              <th scope="col">Pan</th>
              <th scope="col">Takes</th>
              <th scope="col">Where</th>
            </tr>
          </thead>
          <tbody>
            {[...schedule.slots]
              .sort((a, b) => a.startSeconds - b.startSeconds)
              .map((slot) => {
                const step = stepOf(slot);
                return (
                  <tr key={slot.task.id}>
                    <td>{clockText(slot.startSeconds)}</td>
                    <td>
                      <bdi>{step ? sayStepOf(step, plan, shelf) : ""}</bdi>
                    </td>
                    <td>
                      <bdi>{panName(slot)}</bdi>
                    </td>
                    <td>{minutesText(slot.endSeconds - slot.startSeconds)}</td>
                    <td>{whereText(slot)}</td>
                  </tr>
                );
              })}
          </tbody>
        </table>
      </details>
    </section>
  );
}

function tracksOf({ slots }: Schedule): Track[] {
  const tracks = new Map<string, Slot[]>();
  const put = (name: string, slot: Slot) => tracks.set(name, [...(tracks.get(name) ?? []), slot]);
  for (const slot of slots) if (slot.task.need === "dyer") put("Your hands", slot);
  for (const [need, name] of places) {
    const there = slots.filter((slot) => slot.task.need === need);
    const most = there.reduce((top, { place }) => Math.max(top, place ?? 0), -1);
    for (let at = 0; at <= most; at++) {
      for (const slot of there) if (slot.place === at) put(`${name} ${at + 1}`, slot);
    }
  }
  // What needs nobody goes on a track for each pan, for it may overlap.
  for (const slot of slots) {
    if (slot.task.need !== null) continue;
    const free = [...tracks].find(
      ([name, there]) =>
        name.startsWith("By itself") &&
        there.every(
          (one) => one.endSeconds <= slot.startSeconds || one.startSeconds >= slot.endSeconds,
        ),
    );
    const count = [...tracks.keys()].filter((name) => name.startsWith("By itself")).length;
    put(free?.[0] ?? (count === 0 ? "By itself" : `By itself ${count + 1}`), slot);
  }
  return Array.from(tracks, ([name, slots]) => ({ name, slots }));
}

/** A tick of the tape: whole hours where only hours are told apart. */
function tickText(seconds: number, fineS: number): string {
  return fineS >= 3_600 && seconds % 3_600 === 0 ? `${seconds / 3_600}\u202fh` : clockText(seconds);
}
