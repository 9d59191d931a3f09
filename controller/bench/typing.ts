/** Longest text the keypad takes; 100 L to a thousandth of a mL has ten places. */
const longest = 10;

/**
 * The text after one more key. `fresh` says that nothing has been typed yet on a text that was
 * offered: the first digit then begins anew. "½" puts a half behind what is there, "rub" takes the
 * last place away, "clear" everything.
 */
export function typed(text: string, key: string, fresh: boolean): string {
  if (key === "rub") return text.slice(0, -1);
  if (key === "clear") return "";
  if (key === "½") {
    if (text.includes(".")) return text;
    return `${text === "" ? "0" : text}.5`;
  }
  const before = fresh ? "" : text;
  if (before.length >= longest) return before;
  if (key === ".") {
    if (before.includes(".")) return before;
    return `${before === "" ? "0" : before}.`;
  }
  if (/^\d$/.test(key)) return before === "0" ? key : before + key;
  // A sign or a comma from a real keyboard stays, so that what is wrong with it can be said.
  return key === "-" || key === "," ? before + key : before;
}

/** The keypad's key for a key of a real keyboard, or null for one that it leaves alone. */
export function keyOf(key: string, code: string): string | null {
  // The decimal key of a number block is a comma in half the world, and means a point there.
  if (code === "NumpadDecimal") return ".";
  if (key === "Backspace") return "rub";
  if (key === "Delete") return "clear";
  return /^[\d.,-]$/.test(key) ? key : null;
}
