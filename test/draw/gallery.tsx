import type { ComponentChildren } from "preact";
import { HAZARDS } from "../../shared/cautions/hazards.ts";
import { AdditionMark } from "../../shared/draw/AdditionMark.tsx";
import { Arrow } from "../../shared/draw/Arrow.tsx";
import { CautionMark } from "../../shared/draw/CautionMark.tsx";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { GraduatedRule } from "../../shared/draw/GraduatedRule.tsx";
import { Hank } from "../../shared/draw/Hank.tsx";
import type { HankLook } from "../../shared/draw/HankFigure.tsx";
import { JugStrip } from "../../shared/draw/JugStrip.tsx";
import { Pan } from "../../shared/draw/Pan.tsx";
import { PowderedStrip } from "../../shared/draw/PowderedStrip.tsx";
import type { Tone } from "../../shared/draw/palette.ts";
import { TimeRule } from "../../shared/draw/TimeRule.tsx";

const ADDITIONS = ["acid", "salt", "water"] as const;

const UNDYED = "#efe6d6";
const TWEED = "#d9cdb8";
const FLECKS = ["#5a4632", "#b8a07c", "#2f4a3a"];
const DYES = [
  ["Saltmarsh", "#2e6e86"],
  ["Lantern", "#d39a2c"],
  ["Slipway", "#96502f"],
  ["Tidewrack", "#5f6d33"],
  ["Gullwing", "#a9adab"],
  ["Deepwater", "#22344f"],
] as const;
const EDGES = [
  ["nearly white", "#f4f0e8"],
  ["nearly black", "#14161a"],
] as const;
const FADE: readonly HankLook[] = [
  { label: "1", fill: 0.15, dyedHex: "#d39a2c", undyedHex: UNDYED },
  { label: "2", fill: 0.7, dyedHex: "#96502f", undyedHex: UNDYED },
  { label: "3", fill: 0.52, dyedHex: "#2e6e86", undyedHex: UNDYED, ringed: true },
  { label: "4", fill: 0.36, dyedHex: "#2e6e86", undyedHex: UNDYED, ringed: true },
  { label: "5", fill: 1, dyedHex: "#22344f", undyedHex: UNDYED },
  { label: "6", fill: 0, dyedHex: "#a9adab", undyedHex: UNDYED },
];
const PAINTED: readonly HankLook[] = [
  {
    label: "painted",
    fill: 0,
    dyedHex: "#2e6e86",
    undyedHex: UNDYED,
    patches: [
      { hex: "#d39a2c", coverage: 0.25 },
      { hex: "#96502f", coverage: 0.2 },
      { hex: "#2e6e86", coverage: 0.3 },
    ],
  },
  { label: "tweed", fill: 0.45, dyedHex: "#5f6d33", undyedHex: TWEED, flecks: FLECKS },
  {
    label: "both",
    fill: 1,
    dyedHex: "#a9adab",
    undyedHex: TWEED,
    flecks: FLECKS,
    ringed: true,
    patches: [{ hex: "#22344f", coverage: 0.3 }],
  },
  { label: "nearly white", fill: 0.6, dyedHex: "#f4f0e8", undyedHex: UNDYED },
  { label: "nearly black", fill: 0.6, dyedHex: "#14161a", undyedHex: UNDYED, ringed: true },
];
const TWELVE: readonly HankLook[] = Array.from({ length: 12 }, (_, index) => ({
  label: index === 4 ? "Harbourmaster at midnight" : `Fade ${index + 1}`,
  fill: index / 11,
  dyedHex: DYES[index % 6]?.[1] ?? "#2e6e86",
  undyedHex: UNDYED,
  ringed: index === 4 || index === 5,
  seed: `skein ${index}`,
}));

function Row(props: { children: ComponentChildren; gap?: number }) {
  return (
    <div style={`display: flex; flex-wrap: wrap; align-items: flex-end; gap: ${props.gap ?? 28}px`}>
      {props.children}
    </div>
  );
}

function Everything(props: { tone: Tone }) {
  const { tone } = props;
  return (
    <div style="display: grid; gap: 40px">
      <Row>
        {[...DYES, ...EDGES].map(([name, hex]) => (
          <DippedStrip
            key={name}
            dyedHex={hex}
            undyedHex={UNDYED}
            width={100}
            height={200}
            seed={name}
            title={name}
          />
        ))}
        <PowderedStrip dyedHex="#22344f" undyedHex={UNDYED} width={100} height={200} />
        <JugStrip
          dyes={[
            { dyedHex: "#d39a2c", share: 2 },
            { dyedHex: "#96502f", share: 1 },
          ]}
          undyedHex={UNDYED}
          width={100}
          height={200}
        />
      </Row>
      <Row gap={18}>
        {[...DYES, ...EDGES].map(([name, hex]) => (
          <div key={name} style="display: flex; gap: 10px; align-items: center">
            <DippedStrip dyedHex={hex} undyedHex={UNDYED} width={24} height={44} seed={name} />
            <span>{name}</span>
          </div>
        ))}
        <PowderedStrip dyedHex="#96502f" undyedHex={UNDYED} width={24} height={44} />
        <JugStrip
          dyes={[
            { dyedHex: "#2e6e86", share: 1 },
            { dyedHex: "#d39a2c", share: 1 },
            { dyedHex: "#22344f", share: 1 },
          ]}
          undyedHex={UNDYED}
          width={24}
          height={44}
        />
        <DippedStrip dyedHex="#5f6d33" undyedHex={TWEED} width={48} height={88} />
      </Row>
      <Row>
        <GraduatedRule
          volumeUl={37_500}
          width={440}
          height={76}
          fillHex="#2e6e86"
          tone={tone}
          labels
        />
        <GraduatedRule
          volumeUl={8_000}
          pouredUl={5_000}
          width={300}
          height={60}
          fillHex="#22344f"
          tone={tone}
          labels
        />
        <GraduatedRule
          volumeUl={15_000}
          plusMinusUl={3_000}
          width={300}
          height={60}
          fillHex="#d39a2c"
          tone={tone}
          labels
        />
        <GraduatedRule
          volumeUl={1_250_000}
          width={300}
          height={60}
          fillHex="#a9adab"
          tone={tone}
          labels
        />
        <GraduatedRule
          volumeUl={150}
          width={200}
          height={60}
          fillHex="#f4f0e8"
          tone={tone}
          labels
        />
        <GraduatedRule volumeUl={12_000} width={120} height={24} fillHex="#5f6d33" tone={tone} />
        <GraduatedRule
          volumeUl={37_500}
          pouredUl={0}
          width={200}
          height={40}
          fillHex="#2e6e86"
          tone={tone}
        />
      </Row>
      <Row>
        <TimeRule leftS={660} totalS={1500} width={520} height={66} tone={tone} labels />
        <TimeRule leftS={40} totalS={90} width={200} height={44} tone={tone} />
        <TimeRule leftS={2700} totalS={3600} width={420} height={56} tone={tone} labels />
        <TimeRule leftS={0} totalS={600} width={200} height={44} tone={tone} />
      </Row>
      <Row>
        <Pan name="Pan B" hanks={FADE} bath={0.66} width={560} height={340} tone={tone} />
        <Pan
          name="Pan A"
          hanks={FADE.slice(2, 5)}
          bath={0.4}
          bathHex="#b9cdd1"
          width={340}
          height={280}
          tone={tone}
          labelSize={26}
        />
        <Pan
          name="Leftover"
          hanks={PAINTED.slice(1, 2)}
          bath={0.6}
          width={240}
          height={280}
          tone={tone}
        />
        <Pan
          name=""
          hanks={FADE.slice(2, 4)}
          bath={0.5}
          width={120}
          height={80}
          tone={tone}
          labelSize={0}
        />
      </Row>
      <Row>
        <Pan
          name="The long pan with a name of its own"
          hanks={TWELVE}
          bath={0.7}
          width={860}
          height={260}
          tone={tone}
        />
        {PAINTED.map((look) => (
          <Hank key={look.label} {...look} width={90} height={230} tone={tone} />
        ))}
      </Row>
      <Row gap={36}>
        {HAZARDS.map((hazard) => (
          <CautionMark key={hazard} hazard={hazard} />
        ))}
        {HAZARDS.map((hazard) => (
          <CautionMark key={hazard} hazard={hazard} size={80} />
        ))}
        {ADDITIONS.map((what) => (
          <AdditionMark key={what} what={what} size={80} />
        ))}
        {ADDITIONS.map((what) => (
          <AdditionMark key={what} what={what} size={30} />
        ))}
      </Row>
    </div>
  );
}

function Video(props: { children: ComponentChildren }) {
  const daubs = Array.from({ length: 260 }, (_, index) => {
    const x = (index * 397) % 1920;
    const y = (index * 211) % 760;
    const hue = (index * 67) % 360;
    return (
      <rect
        key={index}
        x={x - 60}
        y={y - 40}
        width={40 + ((index * 53) % 190)}
        height={24 + ((index * 31) % 120)}
        fill={`hsl(${hue} ${30 + (index % 5) * 12}% ${20 + (index % 7) * 11}%)`}
        transform={`rotate(${(index * 29) % 90} ${x} ${y})`}
      />
    );
  });
  return (
    <div style="position: relative; width: 1920px; height: 760px; overflow: hidden">
      <svg width="1920" height="760" aria-hidden="true" style="position: absolute">
        <rect width="1920" height="760" fill="#6b6257" />
        {daubs}
      </svg>
      <div style="position: absolute; inset: 0">{props.children}</div>
    </div>
  );
}

function OverVideo() {
  return (
    <Video>
      <div style="position: absolute; left: 96px; bottom: 320px; background: var(--caution); color: var(--ink); display: flex; gap: 20px; align-items: center; padding: 14px 28px; font-size: 40px; font-weight: 640">
        <CautionMark hazard="steam" size={56} /> Steam burns: lift the lid away from you
      </div>
      <div style="position: absolute; left: 96px; right: 96px; bottom: 54px; height: 250px; background: var(--ink); color: var(--wool); display: flex; align-items: center; gap: 40px; padding: 0 32px">
        <DippedStrip
          dyedHex="#2e6e86"
          undyedHex={UNDYED}
          width={100}
          height={210}
          seed="Saltmarsh"
        />
        <div style="font-size: 40px; line-height: 1.35; width: 460px">
          <div style="color: var(--ink-quiet); font-size: 36px">Pouring now</div>
          <div style="font-size: 60px; font-weight: 720">Saltmarsh 1{"\u202f"}%</div>
          <div>into pan B, skeins 3 and 4</div>
        </div>
        <div>
          <div class="figures-first" style="font-size: 132px">
            37.5<span style="font-size: 56px; font-weight: 420">{"\u202f"}mL</span>
          </div>
          <GraduatedRule volumeUl={37_500} width={440} height={64} fillHex="#2e6e86" tone="ink" />
        </div>
        <div style="font-size: 40px; flex: 1">
          <div style="color: var(--ink-quiet); font-size: 36px">Depth of shade</div>
          <div class="figures">
            0.40 <Arrow size={40} /> <b style="font-size: 60px">0.78{"\u202f"}%</b>
          </div>
          <div>pour 7 of 19</div>
        </div>
      </div>
      <div style="position: absolute; right: 96px; top: 54px; background: var(--ink); padding: 24px">
        <Pan
          name="Pan B"
          hanks={FADE.slice(2, 5)}
          bath={0.6}
          width={420}
          height={340}
          tone="ink"
          labelSize={36}
          nameSize={36}
        />
      </div>
      <div style="position: absolute; left: 96px; top: 54px; background: var(--ink); padding: 24px; color: var(--wool)">
        <div class="figures" style="font-size: 60px; font-weight: 720">
          11:00
        </div>
        <TimeRule leftS={660} totalS={1500} width={520} height={60} tone="ink" />
      </div>
    </Video>
  );
}

/** Every drawing on wool, on ink and over video, to be looked at. */
export function Gallery() {
  return (
    <div style="font-family: var(--face); font-size: 18px; width: 1920px">
      <section id="wool" style="background: var(--wool); color: var(--ink); padding: 48px">
        <Everything tone="wool" />
      </section>
      <section id="ink" style="background: var(--ink); color: var(--wool); padding: 48px">
        <Everything tone="ink" />
      </section>
      <section id="video">
        <OverVideo />
      </section>
    </div>
  );
}
