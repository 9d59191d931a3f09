/** One round trip to the server's clock: when it left and came back (tablet's ms), and the answer. */
export type RoundTrip = { leftAt: number; backAt: number; serverNow: number };

/**
 * How far the server's clock is ahead of the tablet's, ms. The quickest round trip is the one whose
 * middle is known best.
 */
export function offsetOf(trips: readonly RoundTrip[]): number | null {
  let best: RoundTrip | null = null;
  for (const trip of trips) {
    if (trip.backAt < trip.leftAt) continue;
    if (best === null || trip.backAt - trip.leftAt < best.backAt - best.leftAt) best = trip;
  }
  return best === null ? null : best.serverNow - (best.leftAt + best.backAt) / 2;
}
