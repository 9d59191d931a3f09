import { useEffect, useState } from "preact/hooks";
import { QrCode } from "../../shared/draw/QrCode.tsx";
import { showCount } from "../../shared/dye/display.ts";
import { useLink } from "../link/context.tsx";
import type { Addresses, deskOf, NewCode } from "./desk.ts";
import { Twice } from "./Twice.tsx";

/** What {@link Tablets} need. */
export interface TabletsProps {
  desk: ReturnType<typeof deskOf>;
  addresses: Addresses | null;
}

/** Which tablets may pour: lets another one in, or locks all of them out. */
export function Tablets({ desk, addresses }: TabletsProps) {
  const { presence, now } = useLink();
  const [code, setCode] = useState<NewCode | null>(null);
  const [said, setSaid] = useState<string | null>(null);
  const [, tick] = useState(0);
  useEffect(() => {
    if (code === null) return;
    const beat = setInterval(() => tick((count) => count + 1), 5_000);
    return () => clearInterval(beat);
  }, [code]);

  const show = async () => {
    const answer = await desk.newCode();
    setSaid(answer.ok ? null : answer.say);
    setCode(answer.ok ? answer.value : null);
  };
  const forget = async () => {
    const answer = await desk.forgetAll();
    if (!answer.ok) setSaid(answer.say);
  };
  const minutes = code === null ? 0 : Math.ceil((code.expiresAt - now()) / 60_000);
  const [address] = addresses?.controller ?? [];
  return (
    <section class="sessions-part tablets" aria-labelledby="tablets-title">
      <h2 id="tablets-title">Tablets</h2>
      <p class="sessions-lead">
        {showCount(presence?.controllers ?? 1, "controller")} at the bench now. Pedals and macro
        pads use a tablet's token.
      </p>
      {code !== null && minutes > 0 && address !== undefined && (
        <div class="tablets-code">
          <QrCode
            text={`${address}#pair=${code.code}`}
            size={172}
            title="Address and code for the other tablet's camera"
          />
          <div>
            <p class="tablets-digits figures">
              {code.code.slice(0, 3)} {code.code.slice(3)}
            </p>
            <p>
              Open <bdi>{address}</bdi> on the other tablet and type this, or point its camera at
              the square. Good once, for {minutes}
              {"\u202f"}min.
            </p>
          </div>
        </div>
      )}
      {code !== null && minutes <= 0 && <p>That code has expired. Make a new one.</p>}
      <div class="tablets-act">
        <button type="button" class="sessions-button" onClick={show}>
          {code === null ? "Pair another tablet" : "Make a new code"}
        </button>
        <Twice
          ask="Forget all tablets"
          again="Tap again: all tablets must pair anew, this one too"
          onDo={forget}
        />
      </div>
      <p class="sessions-said" role="alert">
        {said}
      </p>
    </section>
  );
}
