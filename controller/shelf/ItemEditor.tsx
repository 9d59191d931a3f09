import type { ComponentChildren } from "preact";
import { useId, useRef, useState } from "preact/hooks";
import { usePreparation } from "../prepare/context.tsx";
import { type Draft, goToUnread } from "./draft.ts";
import { type Shelved, unkept } from "./shelving.ts";

/** What an {@link ItemEditor} frames. */
export interface ItemEditorProps {
  item: Shelved;
  draft: Pick<Draft<never>, "changed"> & { settle: () => void };
  /** Whether it stands on the shelf already. */
  there: boolean;
  onDone: () => void;
  children: ComponentChildren;
  /** Between the name and what can be typed. */
  above?: ComponentChildren;
  /** What is shown in place of all that can be typed; it is kept by itself. */
  instead?: ComponentChildren;
}

/**
 * What is in hand, with the ways to keep it, to take it out of use, or off the shelf where nothing
 * uses it.
 */
export function ItemEditor(props: ItemEditorProps) {
  const { item: shelved, draft, there, onDone, children, above, instead } = props;
  const { part, item } = shelved;
  const { change } = usePreparation();
  const fields = useRef<HTMLFormElement>(null);
  const form = useId();
  const [said, setSaid] = useState<string | null>(null);
  const [sure, setSure] = useState(false);
  const keep = () => {
    const wrong = goToUnread(fields.current) ? UNREAD : unkept(shelved);
    setSaid(wrong);
    if (wrong !== null) return;
    draft.settle();
    void change({ change: "shelve", ...shelved });
  };
  const { retired } = item;
  return (
    <section class="shelf-editor" aria-labelledby="shelf-editor-title">
      <header class="editor-head">
        <h2 id="shelf-editor-title">
          <bdi>{item.name.trim() === "" ? "Without a name yet" : item.name}</bdi>
          {retired && <span class="shelf-note"> out of use</span>}
        </h2>
        <button type="button" class="quiet-button" onClick={onDone}>
          {there && !draft.changed ? "Done" : "Leave it"}
        </button>
      </header>
      {above}
      {instead ?? (
        <>
          <form
            ref={fields}
            id={form}
            class="shelf-fields"
            noValidate
            onSubmit={(event) => {
              event.preventDefault();
              keep();
            }}
          >
            {children}
          </form>
          <div role="alert">{said !== null && <p class="shelf-warning">{said}</p>}</div>
          <div class="prepare-ways">
            <button
              type="submit"
              form={form}
              class="green-button"
              disabled={there && !draft.changed}
            >
              {there ? "Keep the change" : "Put it on the shelf"}
            </button>
            {there && (
              <button
                type="button"
                class="quiet-button"
                disabled={draft.changed}
                onClick={() => void change({ change: "retire", part, id: item.id, out: !retired })}
              >
                {retired ? "Take it back into use" : "Out of use"}
              </button>
            )}
            {there && (
              <button
                type="button"
                class="quiet-button"
                onBlur={() => setSure(false)}
                onClick={() => {
                  if (!sure) {
                    setSure(true);
                    return;
                  }
                  void change({ change: "remove", part, id: item.id }).then((answer) => {
                    if (answer.ok) onDone();
                    else setSaid(answer.say);
                  });
                }}
              >
                {sure ? "Tap again to take it off" : "Off the shelf for good"}
              </button>
            )}
          </div>
        </>
      )}
    </section>
  );
}

const UNREAD = "One field cannot be read yet. Put it right, then keep it.";
