/** Yarn and pans as they are drawn in full; the page begins without them. */
export { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
export { JugStrip } from "../../shared/draw/JugStrip.tsx";
export { Pan } from "../../shared/draw/Pan.tsx";
export { PowderedStrip } from "../../shared/draw/PowderedStrip.tsx";
