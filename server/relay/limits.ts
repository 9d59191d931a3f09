/** Those who may follow over one relay process; the next ones are told to come again. */
export const mostFollowers = 20_000;
/**
 * Followers from one address. A school or an office stands behind one address, so this is far above
 * any class; without it one machine could take every place.
 */
export const mostPerAddress = 2_000;
/** A follower has nothing to say; what it says may have so many bytes and be so many messages. */
export const mostFollowerBytes = 1024;
export const mostFollowerMessages = 20;
/** Bytes that may wait for a slow reader before it is skipped and brought right by a snapshot. */
export const mostWaitingBytes = 256 * 1024;
/** A reader that takes nothing for so long is let go, ms. */
export const mostBehindMs = 20_000;
/** Everybody hears something so often, and so can tell a dead line from a quiet one, ms. */
export const beatMs = 3_000;
/** A follower that does not answer within so many beats is gone. */
export const beatsPerAnswer = 10;
/** A connection that has not said what it wants by then is ended, ms. */
export const halfOpenMs = 5_000;
/** The largest message of the bench: a whole public view, bytes. */
export const mostBenchBytes = 4 * 1024 * 1024;
/** The view that a relay shows has so many bytes at most, however many patches made it. */
export const mostViewBytes = mostBenchBytes;
/** Messages of the bench in one second; a tap is one. */
export const mostBenchPerSecond = 300;
/** A bench from which nothing was heard for so long gives way to another one, ms. */
export const benchSilenceMs = 8_000;
/** The bench and the relay each speak at least so often, ms. */
export const benchBeatMs = 2_000;
/** The version of what bench and relay say to each other; raised also when views are told otherwise. */
export const lineVersion = 3;
/** A relay key: visible letters, digits and signs of ASCII, so that it goes into a header as it is. */
export const keyPattern = /^[\x21-\x7e]{16,200}$/;
/** Where the bench dials in, and where it asks for a new key. */
export const linePath = "/line";
export const keyPath = "/line/key";
