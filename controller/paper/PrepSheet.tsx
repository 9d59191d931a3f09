import { useState } from "preact/hooks";
import { notesOf } from "../../shared/cautions/cautions.ts";
import { HAZARDS } from "../../shared/cautions/hazards.ts";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import {
  showCount,
  showDepth,
  showMass,
  showStrength,
  showVolume,
} from "../../shared/dye/display.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { strengthPct } from "../../shared/dye/strength.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import { acidPcts } from "../../shared/plan/bath.ts";
import type { Prospect } from "../../shared/plan/prospect.ts";
import type { Id } from "../../shared/session/setup.ts";
import { Select } from "../form/Select.tsx";
import { showAmountOf } from "../plan/amount.ts";
import { sayStepOf } from "../plan/say.ts";
import { clockText, minutesText } from "../prepare/minutes.ts";
import { today } from "../prepare/today.ts";
import { usePlan } from "../prepare/usePlan.ts";
import { stockHex } from "../stocks/bottle.ts";
import { whereText } from "../time/where.ts";
import { type PaperSize, Printed, paperSizes } from "./Printed.tsx";

/** The plan on paper: what to buy and weigh, bottles, pans, pours in order, times and cautions. */
export function PrepSheet({ plan: id }: { plan: Id }) {
  const [paper, setPaper] = useState<PaperSize>("A4");
  const inHand = usePlan(id);
  if (!inHand) return null;
  const { plan, shelf, prospect } = inHand;
  const { foresight, powderUg, baths, depths, schedule, walked, warnings } = prospect;
  const stock = (of: Id) => shelf.stocks.find((one) => one.id === of);
  const uses = foresight.uses.filter(
    ({ stock: of, drawnUl }) => drawnUl > 0 || plan.setOut.includes(of),
  );
  const powder = Object.entries(powderUg).filter(([, ug]) => ug > 0);
  const slots = new Map(
    refused(schedule) ? [] : schedule.slots.map((slot) => [slot.task.id, slot]),
  );
  const entering = new Map(walked.steps.map((one) => [one.step.id, one]));
  const additions = walked.steps.flatMap(({ step, entering: there }) =>
    step.kind === "add" && there?.kind === "add"
      ? [{ id: step.id, label: step.label, amount: there.amount }]
      : [],
  );
  const bought = summed(additions);
  let n = 0;
  return (
    <div class="sheet">
      <div class="sheet-ways prepare-ways">
        <Select label="Paper" options={paperSizes} value={paper} onValue={setPaper} />
        <button type="button" class="green-button" onClick={() => window.print()}>
          Print
        </button>
      </div>
      <Printed paper={paper}>
        <header class="sheet-head">
          <h2>
            <bdi>{plan.name}</bdi>
          </h2>
          <p class="figures">
            {`Prep sheet, ${today()}`}
            {!refused(schedule) && `, about ${minutesText(schedule.streamSeconds)} on air`}
          </p>
        </header>
        <section>
          <h3>To weigh and to have ready</h3>
          <table>
            <thead>
              <tr>
                <th scope="col">What</th>
                <th scope="col">How much</th>
                <th scope="col">On hand</th>
                <th scope="col">Done</th>
              </tr>
            </thead>
            <tbody>
              {powder.map(([dye, ug]) => {
                const there = shelf.dyes.find((one) => one.id === dye);
                return (
                  <tr key={dye}>
                    <td>
                      <bdi>{there?.name ?? dye}</bdi> powder
                      {there?.code !== undefined && ` (${there.code})`}
                    </td>
                    <td>{showMass(ug)}</td>
                    <td>
                      {there?.onHandUg === undefined
                        ? ""
                        : there.onHandUg < ug
                          ? `${showMass(there.onHandUg)}: buy more`
                          : showMass(there.onHandUg)}
                    </td>
                    <td class="sheet-tick" />
                  </tr>
                );
              })}
              {bought.map(({ label, text }) => (
                <tr key={label}>
                  <td>
                    <bdi>{label}</bdi>
                  </td>
                  <td>{text}</td>
                  <td />
                  <td class="sheet-tick" />
                </tr>
              ))}
              {yarnsOf(plan.skeins, shelf.bases).map(({ name, count, massUg }) => (
                <tr key={name}>
                  <td>
                    <bdi>{name}</bdi>
                  </td>
                  <td>{`${showCount(count, "skein")}, ${showMass(massUg)} dry`}</td>
                  <td />
                  <td class="sheet-tick" />
                </tr>
              ))}
            </tbody>
          </table>
        </section>
        <section>
          <h3>Bottles</h3>
          <table>
            <thead>
              <tr>
                <th scope="col">
                  <span class="unseen">Colour</span>
                </th>
                <th scope="col">Stock</th>
                <th scope="col">Strength</th>
                <th scope="col">Holds</th>
                <th scope="col">Poured</th>
                <th scope="col">Left</th>
                <th scope="col">Done</th>
              </tr>
            </thead>
            <tbody>
              {uses.map(({ stock: of, heldUl, drawnUl, leftUl }) => {
                const bottle = stock(of);
                if (!bottle) return null;
                return (
                  <tr key={of}>
                    <td>
                      <DippedStrip
                        dyedHex={stockHex(shelf, bottle)}
                        undyedHex="#f3ecdf"
                        width={16}
                        height={28}
                        seed={of}
                      />
                    </td>
                    <td>
                      <bdi>{bottle.name}</bdi>
                      {bottle.toMake && ", to make up"}
                    </td>
                    <td>
                      {bottle.volumeUl > 0
                        ? showStrength(strengthPct(totalUg(bottle.dyes), bottle.volumeUl))
                        : ""}
                    </td>
                    <td>{showVolume(heldUl)}</td>
                    <td>{showVolume(drawnUl)}</td>
                    <td>{leftUl < 0 ? `${showVolume(-leftUl)} short` : showVolume(leftUl)}</td>
                    <td class="sheet-tick" />
                  </tr>
                );
              })}
            </tbody>
          </table>
        </section>
        <section>
          <h3>Pans and skeins</h3>
          <table>
            <thead>
              <tr>
                <th scope="col">Pan</th>
                <th scope="col">Skeins</th>
                <th scope="col">Dry fibre</th>
                <th scope="col">Water</th>
                <th scope="col">Liquor ratio</th>
                <th scope="col">Acid, of fibre</th>
                <th scope="col">Depth</th>
              </tr>
            </thead>
            <tbody>
              {baths.map((bath) => (
                <tr key={bath.pan.id}>
                  <td>
                    <bdi>{bath.pan.name}</bdi>
                  </td>
                  <td>
                    {bath.skeins
                      .map((skein) => {
                        const pct = depths.find((one) => one.skein.id === skein.id)?.depthPct ?? 0;
                        return `${skein.name} (${showDepth(pct)})`;
                      })
                      .join(", ")}
                  </td>
                  <td>{showMass(bath.fibreUg)}</td>
                  <td>{showVolume(bath.waterUl)}</td>
                  <td>{bath.ratio === null ? "" : `${Math.round(bath.ratio)}:1`}</td>
                  <td>
                    {Object.entries(acidPcts(bath))
                      .map(([acid, pct]) => `${Math.round(pct * 10) / 10}\u202f% ${acid}`)
                      .join(", ")}
                  </td>
                  <td>{showDepth(bath.depthPct)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </section>
        <section>
          <h3>In order</h3>
          <table>
            <thead>
              <tr>
                <th scope="col">At</th>
                <th scope="col">No.</th>
                <th scope="col">What</th>
                <th scope="col">How much</th>
                <th scope="col">Pan, place</th>
                <th scope="col">Done</th>
              </tr>
            </thead>
            <tbody>
              {plan.steps.map((step) => {
                if (step.kind === "pour") n += 1;
                const there = entering.get(step.id);
                const slot = slots.get(step.id);
                const pan = plan.pans.find((one) => one.id === there?.pan);
                return (
                  <tr key={step.id}>
                    <td>
                      {slot && `${clockText(slot.startSeconds)} to ${clockText(slot.endSeconds)}`}
                    </td>
                    <td>{step.kind === "pour" ? n : ""}</td>
                    <td>
                      <bdi>{sayStepOf(step, plan, shelf)}</bdi>
                      {step.kind === "pour" &&
                        [
                          step.pour.coverage < 1
                            ? `, ${step.pour.technique}, ${Math.round(step.pour.coverage * 100)}\u202f% of it`
                            : "",
                          step.pour.placement === undefined ? "" : `, ${step.pour.placement}`,
                        ].join("")}
                      {!step.onAir && ", off air"}
                    </td>
                    <td>
                      {step.kind === "pour"
                        ? pourText(step.pour.amount, there?.entering)
                        : there
                          ? minutesText(there.seconds)
                          : ""}
                    </td>
                    <td>
                      <bdi>{pan?.name ?? ""}</bdi>
                      {slot && slot.place !== null && `, ${whereText(slot)}`}
                    </td>
                    <td class="sheet-tick" />
                  </tr>
                );
              })}
            </tbody>
          </table>
        </section>
        {warnings.length > 0 && (
          <section>
            <h3>To look at before</h3>
            <ul>
              {warnings.map(({ say }) => (
                <li key={say}>{say}</li>
              ))}
            </ul>
          </section>
        )}
        <section class="sheet-cautions">
          <h3>With care</h3>
          {notesOf(HAZARDS).map((note) => (
            <p key={note}>{note}</p>
          ))}
        </section>
      </Printed>
    </div>
  );
}

type Entering = Prospect["walked"]["steps"][number]["entering"];

/** What is measured: a pour planned by depth is told in mL as well. */
function pourText(amount: Parameters<typeof showAmountOf>[0], entering: Entering | undefined) {
  const planned = showAmountOf(amount);
  if (amount.by !== "depth" || entering?.kind !== "pour") return planned;
  const { source } = entering.pour;
  return source.from === "vessel" ? `${showVolume(source.amount.volumeUl)} (${planned})` : planned;
}

type Amount = { volumeUl: number } | { massUg: number };

/** What goes into all baths together, by what it is called. */
function summed(additions: readonly { label: string; amount: Amount }[]) {
  const sums = new Map<string, { label: string; volumeUl: number; massUg: number }>();
  for (const { label, amount } of additions) {
    const key = label.toLowerCase();
    const sum = sums.get(key) ?? { label, volumeUl: 0, massUg: 0 };
    if ("volumeUl" in amount) sum.volumeUl += amount.volumeUl;
    else sum.massUg += amount.massUg;
    sums.set(key, sum);
  }
  return [...sums.values()].map(({ label, volumeUl, massUg }) => ({
    label,
    text: [
      ...(volumeUl > 0 ? [showVolume(volumeUl)] : []),
      ...(massUg > 0 ? [showMass(massUg)] : []),
    ].join(" and "),
  }));
}

function yarnsOf(
  skeins: readonly { base: Id; massUg: number }[],
  bases: readonly { id: Id; name: string }[],
) {
  const yarns = new Map<Id, { name: string; count: number; massUg: number }>();
  for (const { base, massUg } of skeins) {
    const name = bases.find(({ id }) => id === base)?.name ?? base;
    const yarn = yarns.get(base) ?? { name, count: 0, massUg: 0 };
    yarns.set(base, { name, count: yarn.count + 1, massUg: yarn.massUg + massUg });
  }
  return [...yarns.values()];
}
