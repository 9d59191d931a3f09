import { readFileSync } from "node:fs";
import { availableParallelism, cpus, loadavg } from "node:os";
import { quantile } from "../quantile.ts";
import { fadeRatios } from "./fade.ts";
import { matchTargets, raceTargets } from "./match.ts";
import { mixErrors, type Spread, spreadOf } from "./mix.ts";
import { type DyedYarns, dyedYarns, MAKINGS, readYarns } from "./spectra.ts";

const asJson = process.argv.includes("--json");
const own = process.argv.indexOf("--spectra");
const file = own < 0 ? undefined : process.argv[own + 1];

const load = () => (loadavg()[0] ?? 0).toFixed(1);
console.log(
  `${cpus()[0]?.model ?? "unknown processor"}, ${availableParallelism()} cores, load ${load()} at the start\n`,
);

const yarns: [string, DyedYarns][] = file
  ? [[file, readYarns(readFileSync(file, "utf8"))]]
  : Object.entries(MAKINGS).map(([name, making]) => [name, dyedYarns(11, 250, making)]);
console.log("Mixes of two dyed yarns known as 8-bit sRGB, CIEDE2000: median / 95th percentile");
const errors = { ours: [] as number[], spectraljs: [] as number[], oklab: [] as number[] };
for (const [name, list] of yarns) {
  const { errors: found, pairs } = mixErrors(list, 3000, 12);
  for (const way of ["ours", "spectraljs", "oklab"] as const) errors[way].push(...found[way]);
  sayMix(`${name} (${pairs} mixes)`, found);
}
const mix = {
  ours: spreadOf(errors.ours),
  spectraljs: spreadOf(errors.spectraljs),
  oklab: spreadOf(errors.oklab),
};
sayMix("all together", errors);

console.log("\nMatching, 40 dyes, every dye, pair and triple (10,700 sets)");
const found = matchTargets(500);
console.log(
  `  500 targets of known recipes: ${(100 * found.within05).toFixed(1)} % within 0.5 before rounding`,
);
console.log(
  `  each ${found.median.toFixed(1)} ms (95th percentile ${found.p95.toFixed(1)}, worst ${found.worst.toFixed(1)}), polish and rounding included`,
);
const race = raceTargets(2);
const speedup = race.simplex / race.ours;
console.log(
  `  simplex on every set ${(race.simplex / 2).toFixed(0)} ms, ours ${(race.ours / 2).toFixed(0)} ms: ${speedup.toFixed(0)} times faster; without leaving hopeless sets out ${(race.oursAll / 2).toFixed(0)} ms, ${(race.simplex / race.oursAll).toFixed(0)} times`,
);
for (const { ours, simplex } of race.best) {
  console.log(
    `  nearest: ours ${ours.toExponential(1)}, simplex ${simplex.toExponential(1)} CIEDE2000`,
  );
}
console.log(
  `  set by set (${race.sets}): ours nearer by more than 0.001 in ${race.better}, further in ${race.worse} (by ${race.worst.toFixed(2)} at the most)`,
);

console.log("\nFades, 3 to 9 skeins of 50 g, syringe with marks of 0.1 mL, dilution allowed");
const fades = fadeRatios(100);
const fade = {
  ratio: Math.max(...fades.exact),
  ratioMeasurable: Math.max(...fades.measurable),
};
console.log(
  `  largest step / smallest: ${fade.ratio.toFixed(3)} before rounding, ${fade.ratioMeasurable.toFixed(3)} measurable (worst of ${fades.exact.length}; 95th percentile ${quantile(fades.measurable, 0.95).toFixed(3)})`,
);
console.log(`\nload ${load()} at the end`);
if (asJson) {
  const result = { mix, match: { ms: found.median, speedup, within05: found.within05 }, fade };
  console.log(JSON.stringify(result));
}

function sayMix(name: string, found: Record<keyof typeof errors, number[]>): void {
  const say = ({ median, p95 }: Spread) => `${median.toFixed(2)} / ${p95.toFixed(2)}`;
  console.log(
    `  ${name}: ours ${say(spreadOf(found.ours))}, spectral.js ${say(spreadOf(found.spectraljs))}, OKLab ${say(spreadOf(found.oklab))}`,
  );
}
