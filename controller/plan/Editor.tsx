import type { ComponentChildren } from "preact";
import type { PlanPart } from "../../shared/plan/plan.ts";
import type { Id } from "../../shared/session/setup.ts";
import { newId } from "../link/id.ts";
import type { Table } from "./table.ts";

/** What an {@link Editor} frames. */
export interface EditorProps {
  table: Table;
  part: PlanPart;
  id: Id;
  title: ComponentChildren;
  /** What a second one is called on its button. */
  twice?: string | undefined;
  children: ComponentChildren;
}

/** What is in hand, with the ways to copy it, take it out, and put it down again. */
export function Editor({ table, part, id, title, twice, children }: EditorProps) {
  const { edit, look, prospect } = table;
  const warnings = prospect.warnings.filter(({ place }) => place.part === part && place.id === id);
  const problems = prospect.walked.problems.filter(
    ({ place }) => place.part === part && place.id === id,
  );
  return (
    <section class="editor">
      <header class="editor-head">
        <h2>{title}</h2>
        <button type="button" class="quiet-button" onClick={() => look(null)}>
          Done
        </button>
      </header>
      {[...problems, ...warnings].map(({ say }) => (
        <p key={say} class="editor-warning">
          {say}
        </p>
      ))}
      {children}
      <div class="prepare-ways">
        {twice !== undefined && (
          <button
            type="button"
            class="quiet-button"
            onClick={() => {
              const as = newId();
              edit({ edit: "duplicate", part, id, as });
              look({ part, id: as });
            }}
          >
            {twice}
          </button>
        )}
        <button
          type="button"
          class="quiet-button"
          onClick={() => {
            edit({ edit: "remove", part, id });
            look(null);
          }}
        >
          Take it out
        </button>
      </div>
    </section>
  );
}
