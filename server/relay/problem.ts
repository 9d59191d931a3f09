/** Why a relay did not start, in one sentence. */
export class RelayProblem extends Error {}
