import { type Refusal, refuse } from "../dye/refusal.ts";

/**
 * The text of a file, from its bytes. UTF-8 with or without a byte order mark is read, and UTF-16
 * where a mark says so; anything else is told, with the line that cannot be read, never guessed: a
 * wrong guess would quietly change names.
 */
export function textOf(bytes: Uint8Array): string | Refusal {
  const [first, second] = bytes;
  if (first === 0xff && second === 0xfe) return decoded(bytes, "utf-16le");
  if (first === 0xfe && second === 0xff) return decoded(bytes, "utf-16be");
  return decoded(bytes, "utf-8");
}

function decoded(bytes: Uint8Array, encoding: string): string | Refusal {
  let text: string;
  try {
    text = new TextDecoder(encoding, { fatal: true }).decode(bytes);
  } catch {
    const lossy = new TextDecoder(encoding).decode(bytes);
    const line = lossy.slice(0, lossy.indexOf("\ufffd")).split("\n").length;
    return refuse(
      "file.encoding",
      `Line ${line} has letters that are not UTF-8. Save the file again as CSV in UTF-8.`,
    );
  }
  return text.includes("\0")
    ? refuse("file.binary", "This is not a text file. Save the table as CSV in UTF-8.")
    : text;
}
