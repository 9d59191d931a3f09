import { useState } from "preact/hooks";
import { Action } from "./Action.tsx";
import { Choice } from "./Choice.tsx";
import { clockTime } from "./clockTime.ts";
import { Form } from "./Form.tsx";
import { useAct } from "./useAct.ts";

type Seen = "public" | "private";

const phrases: Readonly<Record<Seen, readonly string[]>> = {
  public: ["Improvised from here.", "The bath cleared quickly.", "More acid than planned."],
  private: ["Leave this out of the video.", "Ask about this later.", "Buy more of this."],
};
const longest = 2_000;

/** Notes for the viewers, and notes that never leave the bench. */
export function Notes() {
  const { state, said, busy, act, clear } = useAct();
  const [seen, setSeen] = useState<Seen>("private");
  const [text, setText] = useState("");
  if (state === null) return null;
  const notes = [...state.bench.notes].reverse();
  const change = (next: string) => {
    clear();
    setText(next);
  };
  const send = async () => {
    const done =
      seen === "public" ? "Kept. The viewers can read it." : "Kept. Only you can read it.";
    if (await act({ type: "note", text: text.trim(), seen }, done)) setText("");
  };
  return (
    <Form
      title="Notes"
      side={
        <section class="notes" aria-label="Notes so far">
          <h3>So far</h3>
          {notes.length === 0 ? (
            <p class="lead">
              Nothing yet. A note keeps the moment it was written at, for the recipe and the video.
            </p>
          ) : (
            <ol>
              {notes.map((note) => (
                <li key={note.act} class="note" data-seen={note.seen}>
                  <p class="note-head figures">
                    <span>{note.seen === "public" ? "Viewers" : "Only you"}</span>
                    <time>{clockTime(note.at)}</time>
                  </p>
                  <p dir="auto">{note.text}</p>
                </li>
              ))}
            </ol>
          )}
        </section>
      }
    >
      <Choice
        label="Who reads it"
        columns={2}
        options={[
          { value: "private", label: "Only you", note: "never leaves the bench" },
          { value: "public", label: "Viewers", note: "on their phones and in the recipe" },
        ]}
        chosen={seen}
        onChoose={(next) => {
          clear();
          setSeen(next);
        }}
      />
      <label class="note-field" data-seen={seen}>
        <span>{seen === "public" ? "A note for the viewers" : "A note for yourself"}</span>
        <textarea
          dir="auto"
          rows={4}
          maxLength={longest}
          value={text}
          onInput={(event) => change(event.currentTarget.value)}
        />
      </label>
      <Choice
        label="Quick words"
        columns={1}
        options={phrases[seen].map((phrase) => ({ value: phrase, label: phrase }))}
        chosen={null}
        onChoose={(phrase) => change(text.trim() === "" ? phrase : `${text.trim()} ${phrase}`)}
      />
      <Action
        onDo={send}
        missing={text.trim() === "" ? "Write something, or tap a few quick words." : null}
        busy={busy}
        said={said}
      >
        {seen === "public" ? "Keep it for the viewers" : "Keep it for yourself"}
      </Action>
    </Form>
  );
}
