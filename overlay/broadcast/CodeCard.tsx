import { QrCode } from "../../shared/draw/QrCode.tsx";
import { Fit, type FitStep } from "./Fit.tsx";

/** Room of the largest code: 29 modules and its quiet zone, 9 px each. */
const codeSize = 333;
const addressSteps: readonly FitStep[] = [
  [48, 2],
  [44, 3],
  [40, 4],
  [36, 4],
];

/** Where viewers find the recipe: a QR code, and the address beside it for those who type. */
export function CodeCard({ address }: { address: string }) {
  const typed = address.replace(/^https?:\/\//, "").replace(/\/$/, "");
  return (
    <div class="code" data-part="code">
      <div class="code-words">
        <p class="kicker">Copy it at</p>
        <Fit class="strong" steps={addressSteps} text={typed}>
          {typed.split(/(?<=\/)/).map((part, at) => (
            <span key={at}>
              {part}
              <wbr />
            </span>
          ))}
        </Fit>
      </div>
      <QrCode text={address} size={codeSize} whole title={`QR code of ${typed}`} />
    </div>
  );
}
