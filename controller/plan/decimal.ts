/** A whole number of small units as an exact decimal of larger ones, without an exponent. */
export function decimalOf(value: number, per: number): string {
  const places = String(per).length - 1;
  const whole = Math.floor(value / per);
  const part = String(Math.round(value - whole * per))
    .padStart(places, "0")
    .replace(/0+$/, "");
  return part === "" ? String(whole) : `${whole}.${part}`;
}
