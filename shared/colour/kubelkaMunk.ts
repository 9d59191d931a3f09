/** The darkest reflectance that is told apart from black: its K/S is about 50,000. */
export const DARKEST = 1e-5;

/**
 * K/S of an opaque layer's reflectance: (1 - R)² / 2R (Kubelka and Munk, "Ein Beitrag zur Optik der
 * Farbanstriche", 1931).
 *
 * @param reflectance taken as 0.00001 where it is less, and as 1 where it is more
 */
export function ksOf(reflectance: number): number {
  const r = Math.min(1, Math.max(DARKEST, reflectance));
  return (1 - r) ** 2 / (2 * r);
}

/**
 * Reflectance of a K/S: 1 + K/S - sqrt((K/S)² + 2 K/S), in the form that keeps its digits where
 * K/S is large.
 *
 * @param ks 0 or more
 */
export function reflectanceOf(ks: number): number {
  return 1 / (1 + ks + Math.sqrt(ks * (ks + 2)));
}
