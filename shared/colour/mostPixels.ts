/** Pixels that a picture may have: decoded, this many take 256 MB for a moment. */
export const MOST_PIXELS = 64_000_000;
