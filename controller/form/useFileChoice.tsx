import { useRef, useState } from "preact/hooks";

/** How a file comes to a section of a page: see {@link useFileChoice}. */
export interface FileChoice {
  /** What the section takes so that a file can be dropped on it. */
  drop: {
    "data-over": boolean;
    onDragOver(event: DragEvent): void;
    onDragLeave(): void;
    onDrop(event: DragEvent): void;
  };
  /** The field of the browser, unseen; `label` is read aloud. */
  field(label: string): preact.JSX.Element;
  /** Opens the browser's own choice of a file. */
  choose(): void;
}

/** Takes one JSON file at a time, chosen or dropped. */
export function useFileChoice(open: (file: File) => unknown): FileChoice {
  const chooser = useRef<HTMLInputElement>(null);
  const [over, setOver] = useState(false);
  const take = (file: File | undefined) => {
    if (file) void open(file);
  };
  return {
    drop: {
      "data-over": over,
      onDragOver: (event) => {
        event.preventDefault();
        setOver(true);
      },
      onDragLeave: () => setOver(false),
      onDrop: (event) => {
        event.preventDefault();
        setOver(false);
        take(event.dataTransfer?.files[0]);
      },
    },
    field: (label) => (
      <input
        ref={chooser}
        class="unseen"
        type="file"
        accept=".json,application/json"
        aria-label={label}
        tabIndex={-1}
        onChange={({ currentTarget }) => {
          take(currentTarget.files?.[0]);
          // The same file may be chosen again once it has been put right.
          currentTarget.value = "";
        }}
      />
    ),
    choose: () => chooser.current?.click(),
  };
}
