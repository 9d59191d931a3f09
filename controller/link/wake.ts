import type { Link } from "./link.ts";

/**
 * Wakes the link whenever the tablet may have slept or changed its network.
 * @returns what ends it
 */
export function wakeWith(link: Link): () => void {
  const wake = () => link.wake();
  const look = () => {
    if (document.visibilityState === "visible") wake();
  };
  document.addEventListener("visibilitychange", look);
  addEventListener("online", wake);
  addEventListener("pageshow", wake);
  addEventListener("focus", wake);
  return () => {
    document.removeEventListener("visibilitychange", look);
    removeEventListener("online", wake);
    removeEventListener("pageshow", wake);
    removeEventListener("focus", wake);
  };
}
