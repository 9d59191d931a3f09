/** "45 s", "25 min", "2 h 10 min": whole minutes from two of them on. */
export function minutesText(seconds: number): string {
  if (seconds < 120) return `${Math.round(seconds)}\u202fs`;
  const minutes = Math.round(seconds / 60);
  if (minutes < 60) return `${minutes}\u202fmin`;
  const rest = minutes % 60;
  const hours = `${Math.floor(minutes / 60)}\u202fh`;
  return rest === 0 ? hours : `${hours} ${rest}\u202fmin`;
}
