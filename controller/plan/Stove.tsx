import { useRef, useState } from "preact/hooks";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { Hank } from "../../shared/draw/Hank.tsx";
import { Pan } from "../../shared/draw/Pan.tsx";
import { showMass, showVolume } from "../../shared/dye/display.ts";
import type { Id } from "../../shared/session/setup.ts";
import { newId } from "../link/id.ts";
import { type Standing, standingsOf } from "./stove.ts";
import type { Table } from "./table.ts";

const panWidth = 236;
const panHeight = 176;
/** Pours that are drawn above a pan; earlier ones are counted. */
const mostFalling = 9;

/** The pans as they stand on the stove, the skeins in them, and the pours that fall in order. */
export function Stove({ table }: { table: Table }) {
  const { plan, shelf, prospect, place, look, edit } = table;
  const inHand = place?.part === "steps" ? place.id : null;
  const standings = standingsOf(plan, shelf, prospect.walked, inHand);
  const [over, setOver] = useState<Id | null | undefined>(undefined);
  const drag = useRef<Id | null>(null);
  const stove = useRef<HTMLDivElement>(null);
  const warned = new Set(
    prospect.warnings.flatMap((one) => (one.place.part === "pans" ? [one.place.id] : [])),
  );

  const panUnder = (x: number, y: number): Id | null | undefined => {
    const under = document.elementFromPoint(x, y)?.closest<HTMLElement>("[data-pan]");
    if (!under || !stove.current?.contains(under)) return undefined;
    return under.dataset.pan === "" ? null : under.dataset.pan;
  };
  const put = (skein: Id, pan: Id | null) => {
    const item = plan.skeins.find(({ id }) => id === skein);
    if (!item || (item.pan ?? null) === pan) return;
    const { pan: _, ...rest } = item;
    edit({ edit: "put", part: "skeins", item: pan === null ? rest : { ...rest, pan } });
  };
  const handles = (skein: Id) => ({
    onPointerDown: (event: PointerEvent & { currentTarget: HTMLElement }) => {
      drag.current = skein;
      event.currentTarget.setPointerCapture(event.pointerId);
    },
    onPointerMove: (event: PointerEvent) => {
      if (drag.current === skein) setOver(panUnder(event.clientX, event.clientY));
    },
    onPointerUp: (event: PointerEvent) => {
      if (drag.current !== skein) return;
      drag.current = null;
      setOver(undefined);
      const pan = panUnder(event.clientX, event.clientY);
      if (pan !== undefined) put(skein, pan);
    },
    onPointerCancel: () => {
      drag.current = null;
      setOver(undefined);
    },
  });
  const addPan = () => {
    const id = newId();
    const letter = letterFor(plan.pans.map(({ name }) => name));
    edit({
      edit: "put",
      part: "pans",
      item: {
        id,
        name: letter,
        capacityUl: 6_000_000,
        water: { by: "ratio", ratio: 30 },
        method: "immersion",
        lid: true,
        panUg: 1_500_000_000,
        metal: "stainless",
      },
    });
    look({ part: "pans", id });
  };
  return (
    <section class="stove" aria-label="The stove">
      <div class="stove-pans" ref={stove}>
        {standings.map((standing) => (
          <PlaceOn
            key={standing.pan ?? ""}
            table={table}
            standing={standing}
            over={over !== undefined && over === standing.pan}
            warned={standing.pan !== null && warned.has(standing.pan)}
            handles={handles}
          />
        ))}
        <button type="button" class="stove-add" onClick={addPan}>
          Add a pan
        </button>
      </div>
      <p class="stove-said">
        {plan.pans.length === 0
          ? "Add a pan, then the skeins that go into it. The picture grows with the plan."
          : inHand === null
            ? "As it will be when everything is poured. Colours are predicted, of dry, rinsed yarn."
            : "As it will be after the step in hand. Colours are predicted, of dry, rinsed yarn."}
      </p>
    </section>
  );
}

type PlaceOnProps = {
  table: Table;
  standing: Standing;
  over: boolean;
  warned: boolean;
  handles: (skein: Id) => Record<string, unknown>;
};

function PlaceOn({ table, standing, over, warned, handles }: PlaceOnProps) {
  const { plan, prospect, place, look } = table;
  const pan = plan.pans.find(({ id }) => id === standing.pan);
  const bath = prospect.baths.find((one) => one.pan.id === standing.pan);
  const falling = standing.pours.slice(-mostFalling);
  const left = standing.pours.length - falling.length;
  return (
    <div class="stove-place" data-pan={standing.pan ?? ""} data-over={over}>
      <ol class="stove-falling" aria-label="Pours, in order">
        {left > 0 && <li class="figures">{`+${left}`}</li>}
        {falling.map(({ step, n, hex, seed, done }) => (
          <li key={step}>
            <button
              type="button"
              class="stove-drop"
              data-done={done}
              aria-current={place?.id === step ? "step" : undefined}
              title={`Pour ${n}`}
              onClick={() => look({ part: "steps", id: step })}
            >
              <DippedStrip
                dyedHex={hex}
                undyedHex="#f3ecdf"
                width={18}
                height={done ? 40 : 26}
                seed={seed}
              />
              <span class="figures">{n}</span>
            </button>
          </li>
        ))}
      </ol>
      {pan ? (
        <button
          type="button"
          class="stove-pan"
          aria-current={place?.part === "pans" && place.id === pan.id ? "true" : undefined}
          onClick={() => look({ part: "pans", id: pan.id })}
        >
          <Pan
            name=""
            hanks={standing.hanks.slice(0, 12)}
            bath={bath && pan.capacityUl > 0 ? Math.min(1, bath.peakUl / pan.capacityUl) : 0}
            width={panWidth}
            height={panHeight}
            tone="wool"
            title={`Pan ${pan.name}`}
          />
        </button>
      ) : (
        <div class="stove-bare" />
      )}
      <p class="stove-caption">
        <b>
          {pan ? (
            <>
              Pan <bdi>{pan.name}</bdi>
            </>
          ) : (
            "On the table"
          )}
        </b>
        {bath && (
          <span class="figures">
            {bath.ratio === null
              ? ` ${showVolume(bath.peakUl)}`
              : ` ${showMass(bath.fibreUg)}, ${showVolume(bath.peakUl)}, ${Math.round(bath.ratio)}:1`}
          </span>
        )}
        {warned && <span class="stove-warned"> look here</span>}
      </p>
      <ul class="stove-skeins">
        {standing.hanks.map((hank) => (
          <li key={hank.skein}>
            <button
              type="button"
              class="stove-skein"
              aria-current={
                place?.part === "skeins" && place.id === hank.skein ? "true" : undefined
              }
              onClick={() => look({ part: "skeins", id: hank.skein })}
              {...handles(hank.skein)}
            >
              {standing.pan === null && (
                <Hank
                  {...hank}
                  width={34}
                  height={72}
                  tone="wool"
                  labelSize={0}
                  title={hank.label}
                />
              )}
              <bdi>{hank.label}</bdi>
            </button>
          </li>
        ))}
      </ul>
    </div>
  );
}

/** "A", "B" … the first letter that no pan has. */
function letterFor(taken: readonly string[]): string {
  for (let at = 0; at < 26; at++) {
    const letter = String.fromCharCode(65 + at);
    if (!taken.includes(letter)) return letter;
  }
  return String(taken.length + 1);
}
