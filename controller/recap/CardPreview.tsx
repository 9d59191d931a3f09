import { useEffect, useState } from "preact/hooks";
import type { CardFile } from "./cards.ts";
import type { KitDesk } from "./desk.ts";

/** What a {@link CardPreview} needs. */
export interface CardPreviewProps {
  card: CardFile;
  /** Read aloud for the picture. */
  label: string;
  desk: KitDesk;
  onSave: (file: string) => void;
}

/** Height of a picture, px. */
const tall = 232;

/** One leaf of the recap card as it will be published, and the files it is saved as. */
export function CardPreview({ card, label, desk, onSave }: CardPreviewProps) {
  const { title, width, height, svg, png } = card;
  const [shown, setShown] = useState<{ url: string } | { say: string } | null>(null);
  useEffect(() => {
    let url: string | null = null;
    let open = true;
    void desk.blob(svg).then((answer) => {
      if (!open) return;
      if (answer.ok) url = URL.createObjectURL(answer.value);
      setShown(answer.ok && url !== null ? { url } : { say: answer.ok ? "" : answer.say });
    });
    return () => {
      open = false;
      if (url !== null) URL.revokeObjectURL(url);
    };
  }, [desk, svg]);
  const size = { width: Math.round((tall * width) / height), height: tall };
  return (
    <figure class="kit-card">
      {shown !== null && "url" in shown ? (
        <img src={shown.url} alt={`${label}, ${title}`} {...size} />
      ) : (
        <p class="kit-blank" style={{ width: `${size.width}px`, height: `${size.height}px` }}>
          {shown?.say ?? "Drawing …"}
        </p>
      )}
      <figcaption>
        {title} <span class="kit-note figures">{`${width} × ${height}`}</span>
      </figcaption>
      <div class="kit-ways">
        {[png, svg].map((file) => {
          const kind = file.endsWith("png") ? "PNG" : "SVG";
          return (
            <button
              key={file}
              type="button"
              class="kit-button"
              aria-label={`Save ${kind}: ${title}`}
              onClick={() => onSave(file)}
            >
              Save {kind}
            </button>
          );
        })}
      </div>
    </figure>
  );
}
