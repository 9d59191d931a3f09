/** "45 s", "25 min", "2 h 10 min": whole minutes from two of them on. */
export function minutesText(seconds: number): string {
  if (seconds < 120) return `${Math.round(seconds)}\u202fs`;
  const minutes = Math.round(seconds / 60);
  if (minutes < 60) return `${minutes}\u202fmin`;
  const rest = minutes % 60;
  const hours = `${Math.floor(minutes / 60)}\u202fh`;
  return rest === 0 ? hours : `${hours} ${rest}\u202fmin`;
}

/** "0:25": hours and minutes from the start of the stream; a minus before it. */
export function clockText(seconds: number): string {
  const minutes = Math.round(Math.abs(seconds) / 60);
  const sign = seconds < 0 && minutes > 0 ? "\u2212" : "";
  return `${sign}${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, "0")}`;
}
