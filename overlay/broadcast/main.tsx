import { render } from "preact";
import { type Connection, type Held, watch } from "../live/watch.ts";
import { refit } from "./Fit.tsx";
import { type Frame, nextFrame } from "./frame.ts";
import { Overlay } from "./Overlay.tsx";
import "./style.css";

/** A browser source that cannot load the typeface shows another rather than nothing. */
const fontMs = 1_500;
/** The painted view is named again this often, so that the bench knows the page is alive. */
const signOfLifeMs = 3_000;
/** Timers count in seconds; cautions and boxes end their time between them. */
const tickMs = 250;

let held: Held | null = null;
let connection: Connection = { connected: false, heldSince: null };
let frame: Frame | null = null;
let drawn = "";
let untold = false;
let stageScale = 1;

function draw(): void {
  if (!held) return;
  frame = nextFrame(frame, held.view, connection, {
    server: bench.serverNow(),
    device: Date.now(),
    running: performance.now(),
  });
  const { main, timers, code, strips } = frame;
  if (untold && !frame.behind) {
    untold = false;
    tellWhenPainted();
  }
  const look = JSON.stringify([main.look, timers.look, code.look, strips.shown, frame.held]);
  if (look === drawn) return;
  drawn = look;
  render(<Overlay key={stageScale} frame={frame} />, document.body);
}

/**
 * A frame's callback runs before that frame is painted; what it queues runs after. A view that came
 * meanwhile and still rests is told when it is drawn.
 */
function tellWhenPainted(): void {
  requestAnimationFrame(() =>
    setTimeout(() => {
      if (frame?.behind === false) bench.showing();
    }),
  );
}

/**
 * The page is one stage of 1920 by 1080, drawn as large as the browser source has room for. At
 * another scale it is built anew: letters inside drawings are else painted for the old one.
 */
function scale(): void {
  const { innerWidth, innerHeight } = window;
  stageScale = Math.min(innerWidth / 1920, innerHeight / 1080);
  const left = (innerWidth - 1920 * stageScale) / 2;
  const top = (innerHeight - 1080 * stageScale) / 2;
  const whole = stageScale === 1 && left === 0 && top === 0;
  document.documentElement.style.setProperty(
    "--stage",
    whole ? "none" : `translate(${left}px, ${top}px) scale(${stageScale})`,
  );
  drawn = "";
  draw();
}
scale();
window.addEventListener("resize", scale);

const faces = ["420 40px", "720 40px"].map((font) =>
  document.fonts.load(`${font} "Atkinson Hyperlegible Next Variable"`),
);
await Promise.race([
  Promise.allSettled(faces),
  new Promise((resolve) => setTimeout(resolve, fontMs)),
]);
document.fonts.addEventListener("loadingdone", () => {
  refit();
  drawn = "";
  draw();
});

const bench = watch({
  onView(next) {
    held = next;
    untold = true;
    draw();
  },
  onState(next) {
    connection = next;
    draw();
  },
});
setInterval(draw, tickMs);
setInterval(() => {
  tellWhenPainted();
}, signOfLifeMs);
