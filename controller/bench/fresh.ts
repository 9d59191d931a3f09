import { newId } from "../link/id.ts";

/** A short name that no other tablet gives, not even one that is out of reach: "jug-" and on. */
export function freshId(kind: string): string {
  return `${kind}-${newId()}`;
}

/** A name that no other has: the one wanted, else with the first free number behind it. */
export function freshName(wanted: string, taken: readonly string[]): string {
  const used = new Set(taken.map((name) => name.trim().toLowerCase()));
  if (!used.has(wanted.toLowerCase())) return wanted;
  for (let count = 2; ; count += 1) {
    const name = `${wanted} ${count}`;
    if (!used.has(name.toLowerCase())) return name;
  }
}

/** The next of names that are counted on: "Jug 1", "Jug 2" and on. */
export function countedName(kind: string, taken: readonly string[], first = 1): string {
  const used = new Set(taken.map((name) => name.trim().toLowerCase()));
  for (let count = first; ; count += 1) {
    const name = kind === "" ? String(count) : `${kind} ${count}`;
    if (!used.has(name.toLowerCase())) return name;
  }
}

/** The first letter of the alphabet that no pan is called by, then "Pan 27" and on. */
export function freshLetter(taken: readonly string[]): string {
  const used = new Set(taken.map((name) => name.trim().toUpperCase()));
  for (const letter of "ABCDEFGHIJKLMNOPQRSTUVWXYZ") {
    if (!used.has(letter)) return letter;
  }
  return countedName("Pan", taken, 27);
}
