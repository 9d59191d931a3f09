/**
 * Copies a text, also where there is no clipboard API, as on a page over plain http. False when the
 * browser would not.
 */
export async function copyText(text: string): Promise<boolean> {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    return copyBySelecting(text);
  }
}

function copyBySelecting(text: string): boolean {
  const field = document.createElement("textarea");
  field.value = text;
  field.className = "unseen";
  field.setAttribute("readonly", "");
  document.body.append(field);
  field.select();
  field.setSelectionRange(0, text.length);
  try {
    return document.execCommand("copy");
  } catch {
    return false;
  } finally {
    field.remove();
  }
}
