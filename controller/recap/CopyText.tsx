import { useId } from "preact/hooks";
import { useCopy } from "../sessions/useCopy.ts";

/** What a {@link CopyText} shows. */
export interface CopyTextProps {
  label: string;
  text: string;
  /** Lines that are seen at once. */
  rows: number;
}

/** A text to publish, copied with one tap. */
export function CopyText({ label, text, rows }: CopyTextProps) {
  const id = useId();
  const { field, said, copy } = useCopy<HTMLTextAreaElement>();
  return (
    <div class="kit-text">
      <label for={id}>
        <bdi>{label}</bdi>
      </label>
      <button type="button" class="kit-button" aria-label={`Copy: ${label}`} onClick={copy}>
        Copy
      </button>
      <textarea id={id} ref={field} readOnly rows={rows} dir="auto" value={text} />
      <p class="kit-note" role="status">
        {said}
      </p>
    </div>
  );
}
