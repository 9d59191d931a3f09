type Kept<Made> = { readonly from: readonly unknown[]; readonly made: Made };

/**
 * Keeps with an object what was made of it, and hands the very same out again for as long as all
 * that it was made from is the very same too.
 */
export function keptWith<Made>(): (of: object, from: readonly unknown[], make: () => Made) => Made {
  const all = new WeakMap<object, Kept<Made>>();
  return (of, from, make) => {
    const kept = all.get(of);
    if (kept?.from.length === from.length && kept.from.every((each, at) => each === from[at])) {
      return kept.made;
    }
    const made = make();
    all.set(of, { from, made });
    return made;
  };
}

/** Keeps what was made for a text, the `most` last made ones. */
export function keptFor<Made>(most: number): (text: string, make: () => Made) => Made {
  const all = new Map<string, { readonly made: Made }>();
  return (text, make) => {
    const kept = all.get(text);
    if (kept) return kept.made;
    const made = make();
    const [oldest] = all.keys();
    if (all.size >= most && oldest !== undefined) all.delete(oldest);
    all.set(text, { made });
    return made;
  };
}
