/**
 * Copies what a field holds. Works where there is no clipboard API, as on a page over plain http:
 * the field is selected and the browser is asked to copy. False when it would not; the text is
 * selected then, for the reader to copy.
 */
export function copyFrom(field: HTMLInputElement | HTMLTextAreaElement): boolean {
  field.focus();
  field.setSelectionRange(0, field.value.length);
  try {
    return document.execCommand("copy");
  } catch {
    return false;
  }
}
