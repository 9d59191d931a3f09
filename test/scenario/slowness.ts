const turns = 30_000_000;
/** What the work below takes on the machine that limits in milliseconds were set on, when it is quiet. */
const usualMs = 50;

/**
 * How many times slower than the machine that limits were set on this one is now, other work on it
 * included; 1 or more. A limit of wall-clock time holds as it stands there, and is stretched by this
 * where a slow or busy machine runs the tests. It takes a quarter of a second.
 */
export function slowness(): number {
  const took = Array.from({ length: 5 }, () => {
    const from = performance.now();
    let sum = 0;
    for (let turn = 0; turn < turns; turn++) sum += turn % 7;
    // Used, so that the work is not left out.
    return sum > 0 ? performance.now() - from : 0;
  }).sort((a, b) => a - b);
  return Math.max(1, (took[2] ?? usualMs) / usualMs);
}
