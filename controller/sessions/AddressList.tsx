import { useId } from "preact/hooks";
import { showCount } from "../../shared/dye/display.ts";
import { useLink } from "../link/context.tsx";
import type { Addresses } from "./desk.ts";
import { useCopy } from "./useCopy.ts";

/** The addresses that go into the broadcast program and to the viewers. */
export function AddressList({ addresses }: { addresses: Addresses | null }) {
  const { presence } = useLink();
  if (addresses === null) return null;
  return (
    <section class="sessions-part" aria-labelledby="addresses-title">
      <h2 id="addresses-title">Addresses</h2>
      <Address label="Overlay, for a browser source of 1920 by 1080" text={addresses.overlay} />
      <p class="sessions-note">
        {presence === null || presence.overlays === 0
          ? "No broadcast page is connected yet. If the broadcast program starts before Pourside, give the browser source this local file instead; it waits."
          : `${showCount(presence.overlays, "broadcast page")} connected.`}
      </p>
      <a class="sessions-button" href="/overlay/waiting-file" download="pourside-overlay.html">
        Download the waiting file
      </a>
      {addresses.follow.map((address) => (
        <Address key={address} label="Follow page, for the viewers' phones" text={address} />
      ))}
      {presence !== null && presence.followers > 0 && (
        <p class="sessions-note">{showCount(presence.followers, "viewer")} on the follow page.</p>
      )}
    </section>
  );
}

function Address({ label, text }: { label: string; text: string }) {
  const { field, said, copy } = useCopy<HTMLInputElement>();
  const id = useId();
  return (
    <div class="address">
      <label for={id}>{label}</label>
      <input
        id={id}
        ref={field}
        type="text"
        readOnly
        dir="ltr"
        value={text}
        onFocus={(event) => event.currentTarget.select()}
      />
      <button type="button" class="sessions-button" aria-label={`Copy: ${label}`} onClick={copy}>
        Copy
      </button>
      <p class="sessions-note" role="status">
        {said}
      </p>
    </div>
  );
}
