import { grain } from "./grain.ts";
import { closedPath, coordinate, type Point } from "./polygon.ts";

/** Where the parts of a pan lie, px, and the paths that draw them. */
export interface PanShape {
  /** Between the inner walls at the floor. */
  readonly innerLeft: number;
  readonly innerRight: number;
  readonly rimY: number;
  /** Where the hanks stand: the upper edge of the front that hides the base. */
  readonly floorY: number;
  readonly footY: number;
  readonly wall: number;
  /** How far each wall leans in from rim to foot. */
  readonly lean: number;
  /** Walls, floor and front. */
  readonly enamel: string;
  /** What is seen of the inside above the front. */
  readonly inside: string;
  /** The far rim, behind the hanks, and the ears. */
  readonly rim: string;
  readonly ears: string;
  /** Specks of the enamel on the front. */
  readonly specks: string;
}

/**
 * A wide enamel pan seen from the side with its front cut away above a band at the foot.
 * @param width of the whole pan with its ears, px
 * @param top where its rim lies, px
 * @param foot where it stands, px
 * @param front height of the band at its foot, px
 */
export function panShape(
  width: number,
  top: number,
  foot: number,
  front: number,
  seed: string,
): PanShape {
  const tall = foot - top;
  const ear = Math.max(7, Math.min(28, width * 0.04));
  const wall = Math.max(4, Math.min(13, tall * 0.035));
  const lean = tall * 0.05;
  const round = Math.min(tall * 0.2, width * 0.12, front * 0.95);
  const left = ear;
  const right = width - ear;
  const c = coordinate;
  const floorY = foot - front;
  const innerAt = (y: number) => left + wall + (lean * (y - top)) / tall;
  const enamel =
    `M${c(left)} ${c(top)}L${c(left + lean)} ${c(foot - round)}` +
    `Q${c(left + lean + round * 0.15)} ${c(foot)} ${c(left + lean + round)} ${c(foot)}` +
    `H${c(right - lean - round)}` +
    `Q${c(right - lean - round * 0.15)} ${c(foot)} ${c(right - lean)} ${c(foot - round)}` +
    `L${c(right)} ${c(top)}H${c(right - wall)}` +
    `L${c(width - innerAt(floorY))} ${c(floorY)}` +
    `Q${c(width / 2)} ${c(floorY + wall * 0.5)} ${c(innerAt(floorY))} ${c(floorY)}` +
    `L${c(left + wall)} ${c(top)}Z`;
  const inside =
    `M${c(left)} ${c(top)}H${c(right)}L${c(width - innerAt(floorY))} ${c(floorY + wall)}` +
    `H${c(innerAt(floorY))}Z`;
  const rim = `M${c(left - wall * 0.4)} ${c(top)}H${c(right + wall * 0.4)}`;
  const grip = Math.min(tall * 0.28, ear * 2);
  const earTop = top + Math.min(tall * 0.12, grip * 0.4);
  const earFoot = earTop + grip;
  const sway = (y: number) => (lean * (y - top)) / tall;
  const ears =
    `M${c(left + sway(earTop))} ${c(earTop)}` +
    `C${c(wall * 0.4)} ${c(earTop - wall)} ${c(wall * 0.4)} ${c(earFoot + wall)} ${c(left + sway(earFoot))} ${c(earFoot)}` +
    `M${c(right - sway(earTop))} ${c(earTop)}` +
    `C${c(width - wall * 0.4)} ${c(earTop - wall)} ${c(width - wall * 0.4)} ${c(earFoot + wall)} ${c(right - sway(earFoot))} ${c(earFoot)}`;
  return {
    innerLeft: innerAt(floorY),
    innerRight: width - innerAt(floorY),
    rimY: top,
    floorY,
    footY: foot,
    wall,
    lean,
    enamel,
    inside,
    rim,
    ears,
    specks: specks(
      left + lean + round,
      right - lean - round,
      floorY + wall,
      foot - wall * 0.7,
      seed,
    ),
  };
}

function specks(left: number, right: number, top: number, foot: number, seed: string): string {
  const next = grain(`${seed} enamel`);
  const count = Math.round(Math.min(90, ((right - left) * (foot - top)) / 260));
  let path = "";
  for (let index = 0; index < count; index += 1) {
    const x = left + (right - left) * next();
    const y = top + (foot - top) * next();
    const reach = 0.5 + 1.1 * next() * next();
    path += closedPath(
      [0, 1, 2, 3, 4].map((corner): Point => {
        const angle = (corner / 5) * 2 * Math.PI;
        return { x: x + Math.cos(angle) * reach * 1.3, y: y + Math.sin(angle) * reach };
      }),
    );
  }
  return path;
}

/** Path of the bath: from a gently uneven surface at this share of the depth down to the floor. */
export function bathPath(shape: PanShape, level: number): { body: string; surface: string } {
  const share = Math.max(0, Math.min(1, level));
  const y = shape.floorY - share * (shape.floorY - shape.rimY) * 0.92;
  const c = coordinate;
  const spread = shape.lean * ((shape.floorY - y) / (shape.footY - shape.rimY));
  const left = shape.innerLeft - spread;
  const right = shape.innerRight + spread;
  const waves = Math.max(4, Math.round((right - left) / 70));
  const step = (right - left) / waves;
  let surface = `M${c(left)} ${c(y)}`;
  for (let wave = 0; wave < waves; wave += 1) {
    surface += `q${c(step / 2)} ${c(wave % 2 === 0 ? -shape.wall * 0.35 : shape.wall * 0.35)} ${c(step)} 0`;
  }
  return {
    body: `${surface}L${c(shape.innerRight)} ${c(shape.floorY + shape.wall)}H${c(shape.innerLeft)}Z`,
    surface,
  };
}
