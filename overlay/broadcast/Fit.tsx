import type { ComponentChildren } from "preact";
import { useLayoutEffect, useRef } from "preact/hooks";

/** A size of letters, px, and the most lines that it may take. */
export type FitStep = readonly [size: number, lines: number];

export type FitProps = {
  /** All that is written, so that it is measured again when that changes. */
  text: string;
  /** From the largest down; the last is the smallest that is legible on screen. */
  steps: readonly FitStep[];
  class?: string;
  /** The last of its column: it takes only the height that the others have left. */
  last?: boolean;
  /** A `bdi` among them is shortened when not even the last step holds the text. */
  children: ComponentChildren;
};

let epoch = 0;

/** A typeface has arrived: texts are measured again when they are next drawn. */
export function refit(): void {
  epoch += 1;
}

/** A text as large as its place allows: measured, not guessed, before it is painted. */
export function Fit({ text, steps, class: name = "", last = false, children }: FitProps) {
  const ref = useRef<HTMLDivElement>(null);
  const settled = useRef("");
  useLayoutEffect(() => {
    const box = ref.current;
    if (!box) return;
    const column = last ? box.parentElement : null;
    const key = `${epoch} ${box.clientWidth} ${text} ${column?.textContent}`;
    if (key === settled.current) return;
    settle(box, steps, column);
    settled.current = `${epoch} ${box.clientWidth} ${text} ${column?.textContent}`;
  });
  return (
    <div ref={ref} class={`fit ${name}`}>
      {children}
    </div>
  );
}

function settle(box: HTMLElement, steps: readonly FitStep[], column: HTMLElement | null): void {
  const names = [...box.querySelectorAll<HTMLElement>("bdi")];
  for (const name of names) restore(name);
  // Words are broken only where no size holds them whole.
  for (const wrap of ["normal", "anywhere"]) {
    box.style.overflowWrap = wrap;
    for (const step of steps) if (holds(box, step, column)) return;
  }
  const least = steps.at(-1);
  if (least) shorten(names, () => holds(box, least, column));
}

function holds(box: HTMLElement, [size, lines]: FitStep, column: HTMLElement | null): boolean {
  box.style.fontSize = `${size}px`;
  const line = Number.parseFloat(getComputedStyle(box).lineHeight);
  if (column) {
    const room = column.offsetHeight - Number.parseFloat(getComputedStyle(column).paddingBottom);
    if (box.offsetTop + box.offsetHeight - column.offsetTop > room + 1) return false;
  }
  return box.scrollWidth <= box.clientWidth && box.offsetHeight <= lines * line + 1;
}

const whole = new WeakMap<Text, { written: string; shortened: string }>();

/** Preact keeps the text node and writes only what changes, so the node itself is changed here. */
function restore(name: HTMLElement): void {
  const node = name.firstChild;
  if (!(node instanceof Text)) return;
  const kept = whole.get(node);
  if (kept && node.data === kept.shortened) node.data = kept.written;
  whole.delete(node);
}

/** Cuts all names to as many letters as the place has room for, the same for each. */
function shorten(names: readonly HTMLElement[], fits: () => boolean): void {
  const cuts = names.flatMap(({ firstChild: node }) => {
    if (!(node instanceof Text)) return [];
    const letters = [...new Intl.Segmenter().segment(node.data)].map(({ segment }) => segment);
    return [{ node, written: node.data, letters }];
  });
  const write = (count: number) => {
    for (const { node, written, letters } of cuts) {
      const short = `${letters.slice(0, count).join("").trimEnd()}…`;
      node.data = letters.length <= count ? written : short;
      whole.set(node, { written, shortened: node.data });
    }
  };
  let [low, high] = [1, Math.max(1, ...cuts.map(({ letters }) => letters.length))];
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    write(middle);
    if (fits()) low = middle;
    else high = middle - 1;
  }
  write(low);
}
