import type { ComponentChildren } from "preact";
import { cautionsOf, deferral } from "../cautions/cautions.ts";
import { CautionMark } from "../draw/CautionMark.tsx";
import { DippedStrip } from "../draw/DippedStrip.tsx";
import { Hank } from "../draw/Hank.tsx";
import { PowderedStrip } from "../draw/PowderedStrip.tsx";
import { WOOL } from "../draw/palette.ts";
import { showDepth, showMass, showVolume } from "../dye/display.ts";
import { correctionsAfter } from "../session/corrected.ts";
import { comparison, seenColour } from "../session/outcome.ts";
import { sayBleed, sayVessel } from "../session/say.ts";
import type { Id } from "../session/setup.ts";
import type { State } from "../session/state.ts";
import { careOf, disposalOf, hazardsOfRepeating } from "./care.ts";
import {
  type Recap,
  type RecapLot,
  sayBath,
  sayCounts,
  sayDay,
  sayHeat,
  sayMeanings,
  sayMethod,
  sayPart,
  sayYarn,
} from "./recap.ts";
import { type SheetLine, sheetLines } from "./steps.ts";

/** What a {@link RecipeSheet} shows. */
export type SheetProps = { state: State; recap: Recap };

/** The recipe sheet, to be printed: planned beside done, notes, cautions, care and disposal. */
export function RecipeSheet({ state, recap }: SheetProps) {
  const lines = sheetLines(state);
  const notes = state.bench.notes.filter(({ seen }) => seen === "public");
  const mixes = mixesOf(state);
  const onAir = lines.filter(({ offAir }) => offAir !== true);
  const offAir = lines.filter(({ offAir }) => offAir === true);
  const corrections = correctionsAfter(state);
  const results = resultsOf(state);
  return (
    <main class="sheet">
      <header class="sheet-head">
        <h1>
          <bdi>{recap.name}</bdi>
        </h1>
        <p>
          {sayDay(recap.day)}
          <br />
          {sayCounts(recap)}
        </p>
      </header>

      <Part title="Colourways">
        {recap.lots.length === 0 && <p>Nothing was poured.</p>}
        <div class="sheet-lots">
          {recap.lots.map((lot) => (
            <Lot key={lot.key} lot={lot} />
          ))}
        </div>
      </Part>

      <Part title="Yarn and baths">
        <ul class="sheet-facts">
          {recap.yarns.map((yarn) => (
            <li key={yarn.base}>
              <bdi>{sayYarn(yarn)}</bdi>
            </li>
          ))}
          {recap.pans.map((pan) => (
            <li key={pan.pan}>
              Pan <bdi>{pan.name}</bdi>, {sayMethod(pan.method)}:{" "}
              {[sayBath(pan), ...pan.heats.map(sayHeat)].filter((said) => said !== "").join(", ")}
            </li>
          ))}
          {mixes.map(({ into, said }) => (
            <li key={into}>
              <bdi>{sayVessel(state, into)}</bdi>: {said}
            </li>
          ))}
        </ul>
      </Part>

      <Part title="Step by step">
        {onAir.length === 0 ? <p>The pour sheet is empty.</p> : <Steps lines={onAir} />}
      </Part>

      {offAir.length > 0 && (
        <Part title="After the stream">
          <Steps lines={offAir} />
        </Part>
      )}

      {corrections.length > 0 && (
        <Part title="Corrected after the stream">
          <table class="sheet-corrections">
            <thead>
              <tr>
                <th>Said before</th>
                <th>In truth</th>
                <th>Why</th>
              </tr>
            </thead>
            <tbody>
              {corrections.map(({ seq, was, now, reason }) => (
                <tr key={seq}>
                  <td>
                    <del>
                      <bdi>{was}</bdi>
                    </del>
                  </td>
                  <td>
                    <b>
                      <bdi>{now ?? "It never happened"}</bdi>
                    </b>
                  </td>
                  <td>
                    <bdi>{reason}</bdi>
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </Part>
      )}

      {results.length > 0 && (
        <Part title="How the skeins came out">
          <ul class="sheet-results">
            {results.map(({ skein, name, hex, undyedHex, said }) => (
              <li key={skein}>
                {hex === null ? (
                  <span />
                ) : (
                  <DippedStrip
                    dyedHex={hex}
                    undyedHex={undyedHex}
                    width={14}
                    height={22}
                    seed={skein}
                  />
                )}
                <span>
                  <b>
                    <bdi>{name}</bdi>
                  </b>
                  : {said}
                </span>
              </li>
            ))}
          </ul>
        </Part>
      )}

      {notes.length > 0 && (
        <Part title="Notes">
          {notes.map(({ act, text }) => (
            <p key={act} class="sheet-note">
              <bdi>{text}</bdi>
            </p>
          ))}
        </Part>
      )}

      <Part title="Cautions">
        <ul class="sheet-cautions">
          {cautionsOf(hazardsOfRepeating(state)).map(({ hazard, line, note }) => (
            <li key={hazard}>
              <CautionMark hazard={hazard} size={26} />
              <span>
                <b>{line}.</b> {note}
              </span>
            </li>
          ))}
        </ul>
        <p class="sheet-deferral">{deferral}</p>
      </Part>

      <div class="sheet-end">
        <Part title="Care">
          {[...new Set(recap.yarns.map(({ superwash }) => superwash))].map((superwash) => (
            <p key={String(superwash)}>
              {recap.yarns.every((yarn) => yarn.superwash === superwash)
                ? ""
                : superwash
                  ? "Superwash: "
                  : "Not superwash: "}
              {careOf(superwash).join(" ")}
            </p>
          ))}
          <p>Usual practice and no more: try it on a scrap first.</p>
        </Part>

        <Part title="Disposal">
          {disposalOf().map((said) => (
            <p key={said}>{said}</p>
          ))}
        </Part>
      </div>
      <p class="sheet-deferral">{sayMeanings(recap)}</p>
    </main>
  );
}

function Part({ title, children }: { title: string; children: ComponentChildren }) {
  return (
    <section>
      <h2>{title}</h2>
      {children}
    </section>
  );
}

function Lot({ lot }: { lot: RecapLot }) {
  const { colour, parts } = lot;
  return (
    <div class="sheet-lot">
      <div class="sheet-colour">
        <Hank
          fill={lot.dyeUg > 0 ? 1 : 0}
          dyedHex={colour.hex}
          undyedHex={colour.undyedHex}
          flecks={colour.flecks}
          patches={lot.dyeUg > 0 ? colour.patches : []}
          label=""
          labelSize={0}
          title={lot.name}
          seed={lot.key}
          width={52}
          height={96}
          tone="wool"
        />
        <small>{lot.dyeUg > 0 ? colour.how : "undyed"}</small>
      </div>
      <table>
        <thead>
          <tr>
            <th>
              <bdi>{lot.name}</bdi>
              {lot.massUg > 0 && <span class="quiet"> {showMass(lot.massUg)}</span>}
            </th>
            <th class="figure" />
            <th class="figure">{lot.massUg > 0 ? showDepth(lot.depthPct) : ""}</th>
          </tr>
        </thead>
        <tbody>
          {parts.map((part) => {
            const Strip = part.of === "mass" ? PowderedStrip : DippedStrip;
            return (
              <tr key={part.key}>
                <td>
                  <Strip
                    dyedHex={part.hex}
                    undyedHex={colour.undyedHex}
                    width={11}
                    height={17}
                    seed={part.key}
                  />
                  <bdi>{part.title}</bdi>
                </td>
                <td class="figure">{sayPart(part)}</td>
                <td class="figure quiet">{lot.massUg > 0 ? showDepth(part.depthPct) : ""}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}

function Steps({ lines }: { lines: readonly SheetLine[] }) {
  return (
    <table class="sheet-steps">
      <thead>
        <tr>
          <th class="n" />
          <th>What</th>
          <th>Where</th>
          <th class="figure">Planned</th>
          <th class="figure">Done</th>
          <th>Other than planned</th>
          <th class="figure">Depth after</th>
        </tr>
      </thead>
      <tbody>
        {lines.map((line, at) => (
          <Step key={at} line={line} />
        ))}
      </tbody>
    </table>
  );
}

function Step({ line }: { line: SheetLine }) {
  const { n, status, what, pan, skeins, planned, done, differences, depths } = line;
  const other = differences.length > 0;
  return (
    <tr class={other ? "other" : undefined} data-status={status}>
      <td class="n">{n ?? ""}</td>
      <td>
        <bdi>{what}</bdi>
      </td>
      <td>
        <bdi>{pan}</bdi>
        {skeins.length > 0 && <span class="quiet">: {skeinsText(skeins)}</span>}
      </td>
      <td class="figure">{planned}</td>
      <td class="figure">
        <b>{done}</b>
      </td>
      <td class="difference">{differences.join(", ")}</td>
      <td class="figure quiet">
        {depths.map((depth) => (
          <div key={depth}>{depth}</div>
        ))}
      </td>
    </tr>
  );
}

const mostSkeins = 6;

function skeinsText(skeins: readonly string[]): string {
  const named = skeins.slice(0, mostSkeins).join(", ");
  return skeins.length > mostSkeins ? `${named} and ${skeins.length - mostSkeins} more` : named;
}

type Result = {
  skein: Id;
  name: string;
  /** Its colour as it was seen; `null` where it was not. */
  hex: string | null;
  undyedHex: string;
  said: string;
};

/** What was seen of skeins once they were rinsed and dry: the colour beside the prediction, the rinse. */
function resultsOf(state: State): Result[] {
  return Object.entries(state.bench.skeins).flatMap(([id, { skein, outcome, rinse }]): Result[] => {
    const seen = seenColour(outcome);
    const compared = seen === null ? null : comparison(state, id);
    const said = [
      ...(seen === null ? [] : [`${seen.how}${compared === null ? "." : `, ${compared.say}`}`]),
      ...(rinse === undefined ? [] : [`Rinse: ${sayBleed(rinse)}.`]),
    ];
    if (said.length === 0) return [];
    const undyedHex = state.setup.bases[skein.base]?.hex ?? WOOL;
    const name = `Skein ${skein.name}`;
    return [{ skein: id, name, hex: seen?.hex ?? null, undyedHex, said: said.join(" ") }];
  });
}

/** How jugs and bottles were mixed at the bench. */
function mixesOf(state: State): { into: Id; said: string }[] {
  const mixes = new Map<Id, string[]>();
  for (const { act } of state.acts) {
    if (act.kind !== "mix") continue;
    const said = [
      ...act.parts.map(
        ({ vessel, volumeUl }) => `${showVolume(volumeUl)} ${sayVessel(state, vessel)}`,
      ),
      ...act.powder.map(
        ({ dye, massUg }) => `${showMass(massUg)} ${state.setup.dyes[dye]?.name ?? dye} powder`,
      ),
      ...(act.waterUl > 0 ? [`${showVolume(act.waterUl)} water`] : []),
    ];
    mixes.set(act.into, [...(mixes.get(act.into) ?? []), said.join(" + ")]);
  }
  return [...mixes].map(([into, said]) => ({ into, said: said.join("; then ") }));
}
