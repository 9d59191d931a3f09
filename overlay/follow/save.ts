import { type Choices, noChoices } from "./kept.ts";

/** Where the bench, or whoever passes its pages on, has the recipe as one file. */
export const fileAddress = "/follow/save";

/** The place in a file for what a viewer chose, as it is before anybody did. */
export const choicesMark = '<script type="application/json" id="choices">null</script>';

/** A value as JSON inside a script element: nothing in it can end the element. */
export function inScript(value: unknown): string {
  return JSON.stringify(value).replace(/</g, "\\u003c");
}

/**
 * Saves the recipe as one file with the viewer's own choices in it. They are written in here, so
 * that they never leave this device. False when the file could not be had.
 */
export async function saveFile(name: string, choices: Choices): Promise<boolean> {
  try {
    const answer = await fetch(fileAddress);
    if (!answer.ok) return false;
    const html = await answer.text();
    const mine =
      JSON.stringify(choices) === JSON.stringify(noChoices)
        ? html
        : html.replace(choicesMark, () => choicesMark.replace("null", () => inScript(choices)));
    const address = URL.createObjectURL(new Blob([mine], { type: "text/html" }));
    const link = document.createElement("a");
    link.href = address;
    link.download = `${fileNameOf(name)}.html`;
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(address), 60_000);
    return true;
  } catch {
    return false;
  }
}

/** A name that every file system takes: its letters and digits, with dashes between. */
export function fileNameOf(name: string): string {
  const plain = name
    .replace(/[^\p{L}\p{N}]+/gu, "-")
    .replace(/^-+|-+$/g, "")
    .slice(0, 60);
  return plain === "" ? "recipe" : plain;
}
