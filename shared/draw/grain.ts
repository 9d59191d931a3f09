/**
 * A run of even numbers from 0 up to (not including) 1 that is always the same for the same name,
 * so that a dye keeps its own wicked edge on every page and in every picture.
 * FNV-1a (Fowler, Noll, Vo) makes the start, mulberry32 (public domain) the run.
 */
export function grain(name: string): () => number {
  let state = 0x811c9dc5;
  for (let index = 0; index < name.length; index += 1) {
    state = Math.imul(state ^ name.charCodeAt(index), 0x01000193);
  }
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}
