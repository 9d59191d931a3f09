/** A moment (ms since 1970) as day and time on this tablet: "2026-05-31 14:07". */
export function dayText(at: number): string {
  const moment = new Date(at);
  const two = (n: number) => String(n).padStart(2, "0");
  const day = [moment.getFullYear(), two(moment.getMonth() + 1), two(moment.getDate())].join("-");
  return `${day} ${two(moment.getHours())}:${two(moment.getMinutes())}`;
}
