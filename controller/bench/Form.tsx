import type { ComponentChildren } from "preact";

/** What a {@link Form} is made of. */
export interface FormProps {
  title: ComponentChildren;
  /** Leads back to where the form was opened from; a section's own form has none. */
  onBack?: (() => void) | undefined;
  /** Something that is rarely done, beside the way back. */
  extra?: ComponentChildren | undefined;
  /** What it is about: choices, and what comes of them. */
  children: ComponentChildren;
  /** How much, and the action: beside the rest, or beneath it on a narrow screen. */
  side: ComponentChildren;
}

/** One screen of the bench: choose on the left, type and act on the right, always there. */
export function Form({ title, onBack, extra, children, side }: FormProps) {
  return (
    <section class="form">
      <header class="form-head">
        <h2>
          <bdi>{title}</bdi>
        </h2>
        {onBack && (
          <div class="form-ways">
            {extra}
            <button type="button" class="quiet-button" onClick={onBack}>
              Back
            </button>
          </div>
        )}
      </header>
      <div class="form-what">{children}</div>
      <div class="form-side">{side}</div>
    </section>
  );
}
