import "./unplanned.css";
import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import { CAUTIONS, shortDeferral } from "../../shared/cautions/cautions.ts";
import { hazardsOf } from "../../shared/cautions/hazards.ts";
import { CautionMark } from "../../shared/draw/CautionMark.tsx";
import type { PowderAmount, VolumeAmount } from "../../shared/dye/amount.ts";
import { showAmount, showMass, showPowder, showVolume } from "../../shared/dye/display.ts";
import { sayLeft, sayPan } from "../../shared/session/say.ts";
import type { Id, Source, Technique } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";
import { Keypad } from "../bench/Keypad.tsx";
import { useLink } from "../link/context.tsx";
import { sayStrength, sayTechnique } from "./dose.ts";
import { Panel } from "./Panel.tsx";
import {
  dropUl,
  leftUl,
  panInHand,
  presetPowders,
  presetVolumes,
  recentPowders,
  recentVolumes,
} from "./recent.ts";
import { SourceStrip } from "./SourceStrip.tsx";
import { doubtFor } from "./size.ts";

type From = { vessel: Id } | { powder: Id };
type How = VolumeAmount["how"];

/** What an {@link Unplanned} is told. */
export interface UnplannedProps {
  state: State;
  /** The pan of the step in hand. */
  stepPan: Id | null;
  onClose: () => void;
}

/**
 * A pour that is not on the sheet: the bottle, then the amount, and it is recorded. Pan, skeins,
 * technique and how sure it is are chosen already and can be changed before the amount.
 */
export function Unplanned({ state, stepPan, onClose }: UnplannedProps) {
  const [pan, setPan] = useState(() => panInHand(state, stepPan));
  const [from, setFrom] = useState<From | null>(null);
  if (pan === null) return null;
  const into = (
    <Choices label="Into">
      {Object.values(state.bench.pans).map(({ pan: { id, name } }) => (
        <Choose key={id} chosen={id === pan} onChoose={() => setPan(id)}>
          pan <bdi>{name}</bdi>
        </Choose>
      ))}
    </Choices>
  );
  return (
    <Panel
      title={from === null ? "Unplanned pour" : <Chosen state={state} from={from} />}
      close="Back to the pour"
      onClose={onClose}
      other={from && { say: "Another bottle", onOther: () => setFrom(null) }}
    >
      {from === null ? (
        <div class="live-panel-body">
          {into}
          <Sources state={state} onFrom={setFrom} />
        </div>
      ) : (
        <HowMuch key={pan} state={state} pan={pan} into={into} from={from} onClose={onClose} />
      )}
    </Panel>
  );
}

function Chosen({ state, from }: { state: State; from: From }) {
  return (
    <span class="live-from">
      <SourceStrip state={state} of={from} width={34} height={64} />
      <span>
        <bdi>
          {"powder" in from
            ? (state.setup.dyes[from.powder]?.name ?? from.powder)
            : (state.bench.vessels[from.vessel]?.name ?? from.vessel)}
        </bdi>{" "}
        <i class="figures">{"powder" in from ? "powder" : sayStrength(state, from.vessel)}</i>
        <small class="figures">
          {"vessel" in from ? `unplanned, holds ${sayLeft(state, from.vessel)}` : "unplanned, dry"}
        </small>
      </span>
    </span>
  );
}

function Sources({ state, onFrom }: { state: State; onFrom: (from: From) => void }) {
  const vessels = Object.values(state.bench.vessels);
  // Jugs are mixed to be poured now, so the newest comes first.
  const jugs = vessels.filter((vessel) => vessel.as === "jug").reverse();
  const stocks = vessels.filter((vessel) => vessel.as === "stock");
  return (
    <div class="live-sources">
      {[...jugs, ...stocks].map(({ id, name }) => {
        const empty = leftUl(state, id) === 0;
        return (
          <button
            key={id}
            type="button"
            class="live-source"
            disabled={empty}
            onClick={() => onFrom({ vessel: id })}
          >
            <SourceStrip state={state} of={{ vessel: id }} width={30} height={56} />
            <span>
              <b>
                <bdi>{name}</bdi> <i class="figures">{sayStrength(state, id)}</i>
              </b>
              <small class="figures">{empty ? "empty" : `${sayLeft(state, id)} left`}</small>
            </span>
          </button>
        );
      })}
      <h3>Dry powder</h3>
      {Object.values(state.setup.dyes).map(({ id, name }) => (
        <button key={id} type="button" class="live-source" onClick={() => onFrom({ powder: id })}>
          <SourceStrip state={state} of={{ powder: id }} width={30} height={56} />
          <span>
            <b>
              <bdi>{name}</bdi>
            </b>
            <small>powder, mask on</small>
          </span>
        </button>
      ))}
    </div>
  );
}

const usualTechnique = {
  immersion: "immersion",
  lowWater: "lowWater",
  painted: "painted",
  dipped: "immersion",
} as const;
const wetTechniques: readonly Technique[] = ["immersion", "lowWater", "painted", "dripped"];
const dryTechniques: readonly Technique[] = ["speckled", "immersion"];
const coverages = [1, 0.5, 0.25, 0.05];
const howWords: Readonly<Record<How, string>> = {
  measured: "Measured",
  estimated: "About",
  unsettled: "Settle later",
};

function HowMuch(props: {
  state: State;
  pan: Id;
  /** The choice of the pan. */
  into: ComponentChildren;
  from: From;
  onClose: () => void;
}) {
  const { state, pan, into, from, onClose } = props;
  const link = useLink();
  const dry = "powder" in from;
  const there = Object.values(state.bench.skeins).filter((skein) => skein.pan === pan);
  const [left, setLeft] = useState<ReadonlySet<Id>>(new Set());
  const [technique, setTechnique] = useState<Technique>(() =>
    dry ? "speckled" : usualTechnique[state.bench.pans[pan]?.pan.method ?? "immersion"],
  );
  const [coverage, setCoverage] = useState(1);
  const [how, setHow] = useState<How>("measured");
  const [typing, setTyping] = useState<"mL" | "drops" | "g" | null>(null);
  const [typed, setTyped] = useState<number | null>(null);

  const pour = (source: Source) => {
    const skeins = there.map(({ skein }) => skein.id).filter((id) => !left.has(id));
    void link.send({
      type: "pour",
      pour: {
        source,
        pan,
        ...(left.size === 0 ? {} : { skeins }),
        technique,
        coverage,
      },
    });
    onClose();
  };
  const sureness = (size: number) => (how === "measured" ? 0 : doubtFor(size));
  const wet = (amount: VolumeAmount): VolumeAmount => ({
    ...amount,
    how,
    plusMinusUl: sureness(amount.volumeUl),
  });
  const powder = (massUg: number): PowderAmount => ({
    how: how === "measured" ? "measured" : "estimated",
    massUg,
    plusMinusUg: sureness(massUg),
  });
  const typedSource = (): Source | null => {
    if (typed === null || typing === null) return null;
    if ("powder" in from) return { from: "powder", dye: from.powder, amount: powder(typed) };
    const drops = typing === "drops" ? typed : undefined;
    const volumeUl = drops === undefined ? typed : drops * dropUl(state);
    const counted = drops === undefined ? {} : { drops };
    const amount = wet({ how, volumeUl, plusMinusUl: 0, ...counted });
    return { from: "vessel", vessel: from.vessel, amount };
  };
  const ready = typedSource();

  return (
    <>
      <div class="live-panel-body live-howmuch">
        {typing === null ? (
          <div class="live-presets">
            {"powder" in from && <PowderCaution state={state} dye={from.powder} whole />}
            {"powder" in from
              ? powderOffers(state, from.powder).map(({ amount, again }) => (
                  <Offer
                    key={amount.massUg}
                    again={again}
                    onTake={() =>
                      pour({ from: "powder", dye: from.powder, amount: powder(amount.massUg) })
                    }
                  >
                    {showPowder({ ...amount, how: "measured", plusMinusUg: 0 })}
                  </Offer>
                ))
              : volumeOffers(state, from.vessel).map(({ amount, again }) => (
                  <Offer
                    key={`${amount.volumeUl} ${amount.drops}`}
                    again={again}
                    empty={amount.volumeUl > leftUl(state, from.vessel)}
                    onTake={() =>
                      pour({ from: "vessel", vessel: from.vessel, amount: wet(amount) })
                    }
                  >
                    {showAmount({ ...amount, how: "measured", plusMinusUl: 0 })}
                  </Offer>
                ))}
            <button
              type="button"
              class="live-offer live-offer-other"
              onClick={() => setTyping(dry ? "g" : "mL")}
            >
              Another amount
            </button>
            {!dry && (
              <button
                type="button"
                class="live-offer live-offer-other"
                onClick={() => setTyping("drops")}
              >
                Drops
              </button>
            )}
          </div>
        ) : (
          <div class="live-typing">
            {"powder" in from && <PowderCaution state={state} dye={from.powder} />}
            <Keypad
              key={typing}
              label={
                typing === "drops" ? `Drops of ${showVolume(dropUl(state))} each` : "How much?"
              }
              unit={typing}
              value={typed}
              onChange={setTyped}
            />
          </div>
        )}
        <div class="live-manner">
          {into}
          {there.length === 0 ? (
            <p class="live-lead">
              No skein is in <bdi>{sayPan(state, pan)}</bdi>: it goes into the bath, for the skein
              that comes next.
            </p>
          ) : (
            <Choices label="On">
              {there.map(({ skein }) => (
                <Choose
                  key={skein.id}
                  chosen={!left.has(skein.id)}
                  onChoose={() => {
                    const next = new Set(left);
                    if (next.has(skein.id)) next.delete(skein.id);
                    // One skein at least is poured on.
                    else if (left.size < there.length - 1) next.add(skein.id);
                    setLeft(next);
                  }}
                >
                  <bdi>{skein.name}</bdi>
                </Choose>
              ))}
            </Choices>
          )}
          <Choices label="How">
            {(dry ? dryTechniques : wetTechniques).map((one) => (
              <Choose key={one} chosen={one === technique} onChoose={() => setTechnique(one)}>
                {sayTechnique(one)}
              </Choose>
            ))}
          </Choices>
          <Choices label="Touching">
            {coverages.map((one) => (
              <Choose key={one} chosen={one === coverage} onChoose={() => setCoverage(one)}>
                <span class="figures">{one === 1 ? "all" : `${one * 100}\u202f%`}</span>
              </Choose>
            ))}
          </Choices>
          <Choices label="Amount is">
            {(dry ? (["measured", "estimated"] as const) : howOrder).map((one) => (
              <Choose key={one} chosen={one === how} onChoose={() => setHow(one)}>
                {howWords[one]}
              </Choose>
            ))}
          </Choices>
        </div>
      </div>
      {typing !== null && (
        <button
          type="button"
          class="live-go live-pour-typed"
          aria-disabled={ready === null}
          onClick={() => ready && pour(ready)}
        >
          {ready === null ? "Type the amount" : `Pour ${sayReady(ready)}`}
        </button>
      )}
    </>
  );
}

const howOrder: readonly How[] = ["measured", "estimated", "unsettled"];

function sayReady(source: Source): string {
  return source.from === "powder" ? showMass(source.amount.massUg) : showAmount(source.amount);
}

function volumeOffers(state: State, vessel: Id) {
  const recent = recentVolumes(state, vessel);
  return [
    ...recent.map((amount) => ({ amount, again: true })),
    ...presetVolumes(state, recent).map((amount) => ({ amount, again: false })),
  ];
}

function powderOffers(state: State, dye: Id) {
  const recent = recentPowders(state, dye);
  return [
    ...recent.map((amount) => ({ amount, again: true })),
    ...presetPowders(recent).map((amount) => ({ amount, again: false })),
  ];
}

function Offer(props: {
  again: boolean;
  empty?: boolean;
  onTake: () => void;
  children: ComponentChildren;
}) {
  const { again, empty, onTake, children } = props;
  return (
    <button type="button" class="live-offer figures" disabled={empty === true} onClick={onTake}>
      {children}
      {again && <small>again</small>}
      {empty === true && <small>more than it holds</small>}
    </button>
  );
}

function PowderCaution(props: { state: State; dye: Id; whole?: boolean }) {
  const { state, dye, whole } = props;
  const hazards = hazardsOf({
    kind: "pour",
    powder: true,
    dyeHazards: state.setup.dyes[dye]?.hazards ?? [],
  });
  const [first] = hazards;
  if (first === undefined) return null;
  return (
    <aside class="live-powder" aria-label="Caution">
      <CautionMark hazard="dryPowder" size={40} />
      <p>
        {hazards.map((hazard) => (
          <b key={hazard}>{CAUTIONS[hazard].line}. </b>
        ))}
        {whole && CAUTIONS[first].note} {shortDeferral}.
      </p>
    </aside>
  );
}

/** A few buttons of which one, or several, are chosen. */
function Choices({ label, children }: { label: string; children: ComponentChildren }) {
  return (
    <fieldset class="live-choices">
      <legend>{label}</legend>
      <div>{children}</div>
    </fieldset>
  );
}

function Choose(props: { chosen: boolean; onChoose: () => void; children: ComponentChildren }) {
  return (
    <button type="button" class="live-choose" aria-pressed={props.chosen} onClick={props.onChoose}>
      {props.children}
    </button>
  );
}
