import { useId, useState } from "preact/hooks";

/** A colour by its hex, or by the browser's own chooser. */
export function ColourField(props: { label: string; hex: string; onHex: (hex: string) => void }) {
  const { label, hex, onHex } = props;
  const [typing, setTyping] = useState<{ text: string; over: string } | null>(null);
  const id = useId();
  const clean = (text: string) => {
    const found = /^#?([0-9a-f]{6})$/i.exec(text.trim());
    return found ? `#${found[1]?.toLowerCase()}` : null;
  };
  const read = typing && clean(typing.text);
  // What was typed gives way to a colour that came from elsewhere meanwhile.
  const typed = typing && (read ?? typing.over) === hex ? typing.text : null;
  const wrong = typed !== null && read === null;
  return (
    <div class="blank" data-wrong={wrong}>
      <label class="blank-label" for={id}>
        {label}
      </label>
      <div class="shelf-colour">
        <input
          type="color"
          aria-label={`${label}, chooser`}
          value={hex}
          onChange={(event) => onHex(event.currentTarget.value.toLowerCase())}
        />
        <input
          id={id}
          class="blank-box"
          type="text"
          autocomplete="off"
          value={typed ?? hex}
          aria-invalid={wrong}
          onInput={(event) => {
            const text = event.currentTarget.value;
            setTyping({ text, over: hex });
            const colour = clean(text);
            if (colour) onHex(colour);
          }}
          onBlur={() => setTyping(wrong ? typing : null)}
        />
      </div>
      <p class="blank-says">{wrong ? "A colour is written as #2e6e86." : ""}</p>
    </div>
  );
}
