/** Words as they begin a sentence or a button: "pan A" becomes "Pan A". */
export function sentence(words: string): string {
  const [first = ""] = words;
  return first.toUpperCase() + words.slice(first.length);
}
