/** What a {@link Remark} shows, and where it goes. */
export interface RemarkProps {
  words: string;
  onWords: (words: string) => void;
}

/** A few words beside what was found. */
export function Remark({ words, onWords }: RemarkProps) {
  return (
    <label class="name-field">
      <span>Words</span>
      <input
        type="text"
        dir="auto"
        maxLength={500}
        value={words}
        onInput={(event) => onWords(event.currentTarget.value)}
      />
    </label>
  );
}
