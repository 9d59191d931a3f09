/** A length of time as a clock shows it: "0:48:12"; below an hour, with `short`, "11:04". */
export function clockText(seconds: number, short = false): string {
  const whole = Math.max(0, Math.floor(seconds));
  const two = (n: number) => String(n).padStart(2, "0");
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor(whole / 60) % 60;
  if (short && hours === 0) return `${minutes}:${two(whole % 60)}`;
  return `${hours}:${two(minutes)}:${two(whole % 60)}`;
}

/**
 * What is left of a wait: "11 min left", "40 s left", "4 min over". Whole minutes are rounded up,
 * so that nothing is said to be over before it is.
 */
export function leftText(leftS: number): string {
  if (leftS <= -60) return `${Math.floor(-leftS / 60)}\u202fmin over`;
  if (leftS <= 0) return "time is up";
  if (leftS < 60) return `${Math.ceil(leftS)}\u202fs left`;
  return `${Math.ceil(leftS / 60)}\u202fmin left`;
}

/** The time of day, "14:02", on the tablet's own clock face. */
export function hourText(at: number): string {
  const date = new Date(at);
  const two = (n: number) => String(n).padStart(2, "0");
  return `${date.getHours()}:${two(date.getMinutes())}`;
}
