const key = "pourside.token";

/** The browser's store, or `null` where it is shut off. */
export function browserStore(): Storage | null {
  try {
    const { localStorage } = globalThis;
    localStorage.getItem(key);
    return localStorage;
  } catch {
    return null;
  }
}

/** What this tablet was given when it was paired. */
export function readToken(store: Storage | null): string | null {
  return store?.getItem(key) ?? null;
}

/** Keeps the token, or lets go of it; without a store it holds as long as the page. */
export function keepToken(store: Storage | null, token: string | null): void {
  try {
    if (token === null) store?.removeItem(key);
    else store?.setItem(key, token);
  } catch {
    // A full store: the tablet has to be paired again after a reload, and nothing else is lost.
  }
}
