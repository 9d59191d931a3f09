import type { ComponentChildren } from "preact";
import type { Id } from "../../shared/session/setup.ts";
import type { ShelfPart } from "../../shared/shelf/shelf.ts";
import { usePreparation } from "../prepare/context.tsx";

/** What an {@link ItemEditor} frames. */
export interface ItemEditorProps {
  part: ShelfPart;
  item: { id: Id; name: string; retired: boolean };
  onDone: () => void;
  children: ComponentChildren;
}

/** What is in hand, with the ways to take it out of use, or off the shelf where nothing uses it. */
export function ItemEditor({ part, item, onDone, children }: ItemEditorProps) {
  const { change } = usePreparation();
  return (
    <section class="shelf-editor">
      <header class="editor-head">
        <h2>
          <bdi>{item.name}</bdi>
        </h2>
        <button type="button" class="quiet-button" onClick={onDone}>
          Done
        </button>
      </header>
      {children}
      <div class="prepare-ways">
        <button
          type="button"
          class="quiet-button"
          onClick={() => void change({ change: "retire", part, id: item.id, out: !item.retired })}
        >
          {item.retired ? "Take it back into use" : "Out of use"}
        </button>
        <button
          type="button"
          class="quiet-button"
          onClick={() => {
            void change({ change: "remove", part, id: item.id }).then((answer) => {
              if (answer.ok) onDone();
            });
          }}
        >
          Off the shelf for good
        </button>
      </div>
    </section>
  );
}
