import { mulDivRest } from "./mulDiv.ts";

/**
 * Shares a whole amount out in proportion to weights by the largest remainder: each share is the
 * exact proportion rounded down or up, and the shares sum exactly to `total`. Ties go to the
 * earlier one. Exact where total x weight is past 2^53.
 *
 * Method: the largest remainder rule (Hamilton's method of apportionment).
 *
 * @param total safe integer, 0 or more, in any one unit (uL, ug)
 * @param weights safe integers, 0 or more, in any one unit; their sum is 1 to 2^53 - 1
 * @throws RangeError for no weights, weights that are all zero, or numbers out of range
 */
export function shareOut(total: number, weights: readonly number[]): number[] {
  let weightSum = 0;
  for (const weight of weights) {
    if (!Number.isSafeInteger(weight) || weight < 0) {
      throw new RangeError(`a share's weight is a whole number of 0 or more: ${weight}`);
    }
    weightSum += weight;
  }
  if (weightSum === 0) throw new RangeError("nothing to share over: no weight is above 0");
  if (!Number.isSafeInteger(weightSum)) throw new RangeError("the weights sum past 2^53");

  const shares = weights.slice();
  const rests = weights.slice();
  let over = total;
  weights.forEach((weight, at) => {
    const { whole, rest } = mulDivRest(total, weight, weightSum);
    shares[at] = whole;
    rests[at] = rest;
    over -= whole;
  });
  // Always fewer than there are shares, so each unit that is over goes to another one.
  for (; over > 0; over -= 1) {
    const next = largest(rests);
    shares[next] = (shares[next] ?? 0) + 1;
    rests[next] = -1;
  }
  return shares;
}

/** Where the largest number is, the first of equal ones. */
function largest(numbers: readonly number[]): number {
  let found = 0;
  for (let at = 1; at < numbers.length; at++) {
    if ((numbers[at] ?? 0) > (numbers[found] ?? 0)) found = at;
  }
  return found;
}
