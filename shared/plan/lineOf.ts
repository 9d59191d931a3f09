/**
 * The line of a JSON text in which a value stands, from 1; that of the nearest thing around it where
 * the path leads on into nothing.
 *
 * @param json a text that `JSON.parse` takes
 * @param path keys and indexes from the outermost value inwards
 */
export function lineOf(json: string, path: readonly PropertyKey[]): number {
  let at = blanks(json, 0);
  for (const key of path) {
    const next = json[at] === "{" ? member(json, at, String(key)) : element(json, at, Number(key));
    if (next === null) break;
    at = next;
  }
  return json.slice(0, at).split("\n").length;
}

/** Where the value of a key of the object at `at` begins. */
function member(json: string, at: number, key: string): number | null {
  let next = blanks(json, at + 1);
  while (json[next] === '"') {
    const afterName = afterText(json, next);
    const name: unknown = JSON.parse(json.slice(next, afterName));
    const value = blanks(json, blanks(json, afterName) + 1);
    if (name === key) return value;
    next = blanks(json, afterValue(json, value));
    if (json[next] === ",") next = blanks(json, next + 1);
  }
  return null;
}

/** Where the element of an index of the array at `at` begins. */
function element(json: string, at: number, index: number): number | null {
  if (json[at] !== "[") return null;
  let next = blanks(json, at + 1);
  for (let n = 0; json[next] !== "]" && next < json.length; n++) {
    if (n === index) return next;
    next = blanks(json, afterValue(json, next));
    if (json[next] === ",") next = blanks(json, next + 1);
  }
  return null;
}

function afterValue(json: string, at: number): number {
  const first = json[at];
  if (first === '"') return afterText(json, at);
  if (first !== "{" && first !== "[") {
    const rest = /[,\]}\s]/.exec(json.slice(at, at + 400));
    return rest ? at + rest.index : json.length;
  }
  let depth = 0;
  for (let next = at; next < json.length; next++) {
    const sign = json[next];
    if (sign === '"') next = afterText(json, next) - 1;
    else if (sign === "{" || sign === "[") depth += 1;
    else if (sign === "}" || sign === "]") {
      depth -= 1;
      if (depth === 0) return next + 1;
    }
  }
  return json.length;
}

function afterText(json: string, at: number): number {
  let next = at + 1;
  while (next < json.length && json[next] !== '"') next += json[next] === "\\" ? 2 : 1;
  return next + 1;
}

function blanks(json: string, at: number): number {
  let next = at;
  while (/\s/.test(json[next] ?? "x")) next += 1;
  return next;
}
