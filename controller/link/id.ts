/** Eighteen random bytes; `randomUUID` is missing where a page comes over plain http. */
export function newId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(18));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}
