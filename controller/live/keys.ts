/** What a key asks of the live screen. */
export type Wish = "advance" | "undo";

export type Press = {
  key: string;
  repeat: boolean;
  altered: boolean;
  /** What has the focus: a field takes all keys, a button takes space and enter. */
  focus: "none" | "field" | "button";
};

const onward = new Set(["PageDown", "ArrowRight", "ArrowDown"]);
const back = new Set(["PageUp", "ArrowLeft", "ArrowUp"]);
const pressing = new Set([" ", "Spacebar", "Enter"]);

/** Whether a key is one that the live screen listens to at all; a held one is taken and ignored. */
export function isOurs(press: Press): boolean {
  if (press.altered || press.focus === "field") return false;
  if (onward.has(press.key) || back.has(press.key)) return true;
  return pressing.has(press.key) && press.focus === "none";
}

/** Page keys, arrows, space and enter, as pedals, clickers and macro pads send them. */
export function wishOf(press: Press): Wish | null {
  if (!isOurs(press) || press.repeat) return null;
  return back.has(press.key) ? "undo" : "advance";
}
