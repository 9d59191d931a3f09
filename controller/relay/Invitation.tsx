import { QrCode } from "../../shared/draw/QrCode.tsx";
import { useCopy } from "../sessions/useCopy.ts";

/** Where viewers follow: to be read aloud, copied into a video's description, or shown to a phone. */
export function Invitation({ address }: { address: string }) {
  const { field, said, copy } = useCopy<HTMLInputElement>();
  return (
    <section class="relay-part" aria-labelledby="relay-invitation">
      <h3 id="relay-invitation">For the viewers</h3>
      <label class="relay-address">
        <span>Follow page</span>
        <input
          ref={field}
          type="text"
          readOnly
          dir="ltr"
          value={address}
          onFocus={(event) => event.currentTarget.select()}
        />
      </label>
      <div class="relay-invitation">
        <QrCode text={address} size={200} whole title={`QR code of ${address}`} />
        <div class="relay-way">
          <button type="button" class="quiet-button" onClick={copy}>
            Copy the address
          </button>
          <p class="lead" role="status">
            {said}
          </p>
        </div>
      </div>
    </section>
  );
}
