import { type MarkProps, StrokeMark } from "./StrokeMark.tsx";

/** What an {@link AdditionMark} shows. */
export interface AdditionMarkProps extends MarkProps {
  what: "acid" | "salt" | "water";
}

/** Lines on a 40 by 40 square: a stoppered bottle, a heap of grains on a dish, a jug. */
const LINES: Readonly<Record<AdditionMarkProps["what"], string>> = {
  acid:
    "M16 3h8v4.500h-8zM16.500 7.500v4c0 3.500-6 4.500-6 9.500v13c0 2 1 3 3 3h13c2 0 3-1 3-3V21c0-5-6-6-6-9.500v-4" +
    "M10.500 25c3.500-2 6 2 9.500 0s6-2 9.500 0",
  salt:
    "M3 30h34M7 30c3-3 8.500-12.500 13-12.500S30 27 33 30M6 30c1.500 4.500 5.500 6.500 14 6.500s12.500-2 14-6.500" +
    "M20 24.500v.01M16 27v.01M24.500 27v.01M20 5v.01M15 9.500v.01M25.500 10v.01M20.500 12.500v.01",
  water:
    "M11 5h22l3.500-1-2.500 7v23c0 2-1 3-3 3H14c-2 0-3-1-3-3zM11 11H8c-5.500 0-5.500 15 0 15h3" +
    "M11 19c4-2 7.500 2 11.500 0s7.500-2 11.500 0",
};

/** What goes into a bath but has no colour of its own, in plain strokes of the text's colour. */
export function AdditionMark({ what, ...mark }: AdditionMarkProps) {
  return <StrokeMark lines={LINES[what]} {...mark} />;
}
