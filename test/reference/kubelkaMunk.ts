/**
 * Reflectance and K/S = (1 - R)² / 2R (P. Kubelka and F. Munk, "Ein Beitrag zur Optik der
 * Farbanstriche", Zeitschrift für technische Physik 12, 1931): R, K/S.
 */
export const kubelkaMunkValues: readonly (readonly [number, number])[] = [
  [1, 0],
  [0.5, 0.25],
  [0.1, 4.05],
];
