/** A moment (ms since 1970) as the clock on the wall shows it here: "14:07:31". */
export function clockTime(at: number): string {
  const moment = new Date(at);
  return [moment.getHours(), moment.getMinutes(), moment.getSeconds()]
    .map((part) => String(part).padStart(2, "0"))
    .join(":");
}
