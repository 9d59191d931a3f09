import type { SheetProblem } from "../../shared/session/sheet.ts";

/** Largest pour sheet that the server takes, bytes. */
const largest = 1_000_000;

type SheetFile = { ok: true; json: string } | { ok: false; problems: readonly SheetProblem[] };

/** Reads a chosen file as far as to know that it can be a pour sheet at all. */
export function sheetText(text: string): SheetFile {
  if (text.length > largest) {
    return refused("The file is larger than 1 MB. A pour sheet is not: choose another file.");
  }
  if (text.trim() === "") {
    return refused("The file is empty. Choose the file that holds the pour sheet.");
  }
  try {
    JSON.parse(text);
    return { ok: true, json: text };
  } catch {
    return refused(
      "The file is not JSON, so it cannot be a pour sheet. If you wrote it by hand, look for a missing comma, quote or bracket.",
    );
  }
}

function refused(say: string): SheetFile {
  return { ok: false, problems: [{ at: "", say }] };
}
