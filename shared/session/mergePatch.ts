/** What JSON can hold. */
export type Json = string | number | boolean | null | readonly Json[] | { [key: string]: Json };

type JsonObject = { [key: string]: Json };

function isObject(value: Json | undefined): value is JsonObject {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function same(a: Json, b: Json): boolean {
  if (a === b) return true;
  if (Array.isArray(a) && Array.isArray(b)) {
    return a.length === b.length && a.every((value, i) => same(value, b[i] as Json));
  }
  if (!isObject(a) || !isObject(b)) return false;
  const keys = Object.keys(a);
  return (
    keys.length === Object.keys(b).length &&
    keys.every((key) => {
      const other = b[key];
      return other !== undefined && same(a[key] as Json, other);
    })
  );
}

/**
 * The JSON Merge Patch (RFC 7396) that turns `before` into `after`, or `undefined` when nothing
 * differs. Arrays are replaced whole. As the standard has it, an object cannot hold `null`.
 */
export function patchOf(before: Json, after: Json): Json | undefined {
  if (before === after) return undefined;
  if (!isObject(before) || !isObject(after)) return same(before, after) ? undefined : after;
  const patch: JsonObject = {};
  for (const [key, value] of Object.entries(after)) {
    const was = before[key];
    const change = was === undefined ? value : patchOf(was, value);
    if (change !== undefined) patch[key] = change;
  }
  for (const key of Object.keys(before)) {
    if (after[key] === undefined) patch[key] = null;
  }
  return Object.keys(patch).length === 0 ? undefined : patch;
}

/** `target` after the patch; what the patch does not touch is shared with `target`. */
export function merge(target: Json | undefined, patch: Json): Json {
  if (!isObject(patch)) return patch;
  const merged: JsonObject = isObject(target) ? { ...target } : {};
  for (const [key, value] of Object.entries(patch)) {
    if (value === null) delete merged[key];
    else {
      // A plain assignment to "__proto__" would change the object's nature, not its contents.
      const entry = { value: merge(merged[key], value), enumerable: true };
      Object.defineProperty(merged, key, { ...entry, writable: true, configurable: true });
    }
  }
  return merged;
}
