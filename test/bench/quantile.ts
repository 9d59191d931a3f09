/**
 * The smallest of the numbers that at least the share `p` of them does not exceed (nearest rank),
 * so that it is a number that was really measured.
 *
 * @param p above 0 and at most 1; 0.5 is the median
 * @throws RangeError for no numbers or another `p`
 */
export function quantile(numbers: readonly number[], p: number): number {
  if (!(p > 0 && p <= 1)) throw new RangeError(`a share is above 0 and at most 1: ${p}`);
  const found = [...numbers].sort((a, b) => a - b)[Math.ceil(p * numbers.length) - 1];
  if (found === undefined) throw new RangeError("there is nothing to take a share of");
  return found;
}

export function median(numbers: readonly number[]): number {
  return quantile(numbers, 0.5);
}
