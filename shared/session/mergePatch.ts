/** What JSON can hold. */
export type Json = string | number | boolean | null | readonly Json[] | { [key: string]: Json };

type JsonObject = { [key: string]: Json };

function isObject(value: Json | undefined): value is JsonObject {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** Own members only: "__proto__" and the like may be keys like any other. */
function memberOf(object: JsonObject, key: string): Json | undefined {
  return Object.hasOwn(object, key) ? object[key] : undefined;
}

/** Sets a member; plain assignment to "__proto__" would change the object's nature instead. */
function put(object: JsonObject, key: string, value: Json): void {
  if (key !== "__proto__") object[key] = value;
  else Object.defineProperty(object, key, { value, ...plain });
}

const plain = { enumerable: true, writable: true, configurable: true };

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
      const other = memberOf(b, key);
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
    const was = memberOf(before, key);
    const change = was === undefined ? value : patchOf(was, value);
    if (change !== undefined) put(patch, key, change);
  }
  for (const key of Object.keys(before)) {
    if (!Object.hasOwn(after, key)) put(patch, key, null);
  }
  return Object.keys(patch).length === 0 ? undefined : patch;
}

/** `target` after the patch; what the patch does not touch is shared with `target`. */
export function merge(target: Json | undefined, patch: Json): Json {
  if (!isObject(patch)) return patch;
  const merged: JsonObject = isObject(target) ? { ...target } : {};
  for (const [key, value] of Object.entries(patch)) {
    if (value === null) delete merged[key];
    else put(merged, key, merge(memberOf(merged, key), value));
  }
  return merged;
}
