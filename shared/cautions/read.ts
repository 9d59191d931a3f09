/** The slower end of the subtitle reading speed, 160 to 180 words a minute (BBC guidelines). */
export const WORDS_A_MINUTE = 160;

/** How long a text must stay up to be read, ms, rounded up. A figure and its unit are two words. */
export function readMs(text: string): number {
  const words = text.split(/\s+/).filter((word) => /[\p{L}\p{N}%]/u.test(word)).length;
  return Math.ceil((words * 60_000) / WORDS_A_MINUTE);
}
