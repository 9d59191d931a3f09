const entities: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

/** A text as it stands in HTML, in an element or in a quoted attribute. */
export function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (letter) => entities[letter] ?? letter);
}
