import { showDepth, showMass } from "../dye/display.ts";
import {
  type Recap,
  type RecapColour,
  type RecapLot,
  type RecapPan,
  type RecapPart,
  sayBath,
  sayCounts,
  sayHeat,
  sayMeanings,
  sayPart,
  sayYarn,
} from "./recap.ts";
import { fitted, fittedWith, isolated, type Style, widthOf, wrapped } from "./setting.ts";

/** A text in one line: its letters' foot stands at `y`, its left edge at `x`. */
export type CardText = {
  kind: "text";
  x: number;
  y: number;
  text: string;
  style: Style;
  quiet: boolean;
  width: number;
};

export type CardItem =
  | CardText
  | { kind: "rule"; x: number; y: number; width: number }
  | {
      kind: "hank";
      x: number;
      y: number;
      width: number;
      height: number;
      seed: string;
      dyed: boolean;
      colour: RecapColour;
    }
  | {
      kind: "strip";
      x: number;
      y: number;
      width: number;
      height: number;
      seed: string;
      hex: string;
      undyedHex: string;
      dry: boolean;
    };

/** Where a card stands in its picture: the picture's size, the panel of ink and the room in it. */
export type CardStage = {
  width: number;
  height: number;
  panel: Box;
  /** px between the panel's edge and what is on it. */
  inset: number;
  mostColumns: number;
};

export type Box = { x: number; y: number; width: number; height: number };

/** One leaf of the recap card. */
export type Card = { stage: CardStage; items: readonly CardItem[]; leaf: number; leaves: number };

/** No letter of a card is smaller, px. */
export const leastSize = 28;

/** The graphics safe area of EBU R 95 in 1920 by 1080, 5 % from every edge. */
const safe: Box = { x: 96, y: 54, width: 1728, height: 972 };

export type CardFormat = "landscape" | "portrait" | "tall";

/** Pictures to publish: landscape, portrait, and tall with room for what a phone lays over it. */
export const cardStages: Readonly<Record<CardFormat, CardStage>> = {
  landscape: { width: 1920, height: 1080, panel: safe, inset: 32, mostColumns: 3 },
  portrait: {
    width: 1080,
    height: 1350,
    panel: { x: 32, y: 32, width: 1016, height: 1286 },
    inset: 32,
    mostColumns: 2,
  },
  tall: {
    width: 1080,
    height: 1920,
    panel: { x: 32, y: 128, width: 1016, height: 1664 },
    inset: 32,
    mostColumns: 2,
  },
};

/** The stage of the overlay when so much of the safe area's height is free, from its foot up, px. */
export function overlayStage(height: number): CardStage {
  const own = cardStages.landscape;
  const tall = Math.max(300, Math.min(safe.height, Math.floor(height)));
  return { ...own, panel: { ...safe, y: safe.y + safe.height - tall, height: tall } };
}

const text = (size: number, tabular = false): Style => ({ size, weight: "text", tabular });
const strong = (size: number, tabular = false): Style => ({ size, weight: "strong", tabular });

const lineHeight = 1.26;
/** From the largest letters down to the smallest: multiples of 28 px. */
const scales = [2.4, 2.1, 1.9, 1.8, 1.7, 1.6, 1.5, 1.4, 1.3, 1.22, 1.15, 1.08, 1];
/** Heights of a hank at scale 1 that are tried, px; the least still shows its colour. */
const hankHeights = [330, 280, 240, 200, 165, 135, 110, 92];
const leastHank = 92;
const gap = { column: 44, row: 30, hank: 22, figure: 16, strip: 12 };
const stripWidth = 18;
const partRow = leastSize * lineHeight;
const nameRow = 34 * 1.24;
/** Least room for a source's name beside its figures, px at scale 1. */
const leastTitle = 150;
/** Widest that a colourway is set, so that its figures stay near their names, px at scale 1. */
const widestCell = 960;
/** Below this height there is no room for yarn and pans beside the colourways, px. */
const heightWithFacts = 640;

/**
 * The recap card, on as many leaves as it takes: every colourway with its colour and what went in,
 * yarn, pans, acid and heat, in letters of 28 px or more.
 *
 * @param day the session's date, as it is to be read
 */
export function recapCards(recap: Recap, day: string, stage: CardStage): Card[] {
  const foot = footOf(recap, stage);
  const roomUnder = (head: Head): Box => ({
    x: stage.panel.x + stage.inset,
    y: head.end,
    width: stage.panel.width - 2 * stage.inset,
    height: stage.panel.y + stage.panel.height - stage.inset - foot.height - head.end,
  });
  const alone = headOf(recap, day, stage, "");
  const onOne = leavesOf(recap.lots, roomUnder(alone), stage.mostColumns, 1);
  // Where one leaf does not hold it all, the head has to say which one this is.
  const room = onOne ? roomUnder(alone) : roomUnder(headOf(recap, day, stage, turn(8, 8)));
  const leaves = onOne ?? leavesOf(recap.lots, room, stage.mostColumns) ?? [];
  return leaves.map(({ lots, fit }, at) => {
    const said = leaves.length > 1 ? turn(at + 1, leaves.length) : "";
    const items = [
      ...headOf(recap, day, stage, said).items,
      ...(lots.length === 0 ? nothingPoured(room) : drawn(lots, fit, room)),
      ...foot.items,
    ];
    return { stage, leaf: at + 1, leaves: leaves.length, items };
  });
}

function turn(leaf: number, leaves: number): string {
  return `, ${leaf}\u00a0of\u00a0${leaves}`;
}

function lineAt(x: number, y: number, said: string, style: Style, quiet = false): CardText {
  return { kind: "text", x, y, text: said, style, quiet, width: widthOf(said, style) };
}

function lineTo(right: number, y: number, said: string, style: Style, quiet = false): CardText {
  const width = widthOf(said, style);
  return { kind: "text", x: right - width, y, text: said, style, quiet, width };
}

// Head and foot

type Head = { items: CardItem[]; end: number };

function headOf(recap: Recap, day: string, { panel, inset }: CardStage, leaf: string): Head {
  const [left, top] = [panel.x + inset, panel.y + inset];
  const right = panel.x + panel.width - inset;
  const counts = `${sayCounts(recap)}${leaf}`;
  const factStyle = text(32);
  const wide = panel.width > 1400;
  const factWidth = Math.max(widthOf(day, factStyle), widthOf(counts, factStyle));
  const room = wide ? right - left - factWidth - 64 : right - left;
  const most = panel.height < heightWithFacts ? 1 : 2;
  const size = [64, 56, 48, 42].find((one) => widthOf(recap.name, strong(one)) <= room) ?? 42;
  const style = strong(size);
  const name = wrapped(recap.name, style, room, most);
  const items: CardItem[] = name.map((line, at) =>
    lineAt(left, top + size * 0.84 + at * size * 1.14, isolated(line, recap.name), style),
  );
  let end = top + size * (1.14 * name.length - 0.06);
  if (wide) {
    items.push(lineTo(right, top + 27, day, factStyle, true));
    items.push(lineTo(right, top + 68, counts, factStyle, true));
    end = Math.max(end, top + 80);
  } else {
    for (const line of wrapped(`${day}, ${counts}`, factStyle, room, 2)) {
      items.push(lineAt(left, end + 40, line, factStyle, true));
      end += 40;
    }
    end += 12;
  }
  items.push({ kind: "rule", x: left, y: end + 16, width: right - left });
  return { items, end: end + 44 };
}

function footOf(recap: Recap, { panel, inset }: CardStage): { items: CardItem[]; height: number } {
  if (panel.height < heightWithFacts) return { items: [], height: 0 };
  const [left, right] = [panel.x + inset, panel.x + panel.width - inset];
  const width = right - left;
  const most = panel.width > 1400 ? 2 : 3;
  const style = text(leastSize);
  const facts = [
    { label: "Yarn", said: recap.yarns.map(sayYarn) },
    { label: "Bath", said: pansTogether(recap, sayBath) },
    { label: "Heat", said: pansTogether(recap, ({ heats }) => heats.map(sayHeat).join(", ")) },
  ].filter(({ said }) => said.length > 0);
  const labels = Math.max(0, ...facts.map(({ label }) => widthOf(label, strong(leastSize)))) + 24;
  const row = leastSize * 1.3;
  const lines: { label?: string; said: string; quiet: boolean }[] = facts.flatMap((fact) =>
    together(fact.said, style, width - labels, most).map((said, at) =>
      at === 0 ? { label: fact.label, said, quiet: false } : { said, quiet: false },
    ),
  );
  const note = fitted(sayMeanings(recap), style, width);
  const height = 24 + (lines.length + 1) * row + 4;
  const top = panel.y + panel.height - inset - height;
  const items: CardItem[] = [{ kind: "rule", x: left, y: top, width }];
  lines.forEach(({ label, said }, at) => {
    const y = top + 24 + leastSize * 0.8 + at * row;
    if (label !== undefined) items.push(lineAt(left, y, label, strong(leastSize)));
    items.push(lineAt(left + labels, y, said, style));
  });
  items.push(lineAt(left, top + 24 + leastSize * 0.8 + lines.length * row + 4, note, style, true));
  return { items, height: height + 18 };
}

/** Pans that were treated alike are told once: "A and B: 1,500 mL water, 30 mL vinegar". */
function pansTogether({ pans }: Recap, say: (pan: RecapPan) => string): string[] {
  const alike = new Map<string, string[]>();
  for (const pan of pans) {
    const said = say(pan);
    if (said !== "") alike.set(said, [...(alike.get(said) ?? []), isolated(pan.name)]);
  }
  return [...alike].map(([said, names]) => {
    const all =
      names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`;
    return `${all}: ${said}`;
  });
}

/** Items one after the other over so many lines; those that have no room are counted. */
function together(items: readonly string[], style: Style, width: number, lines: number): string[] {
  for (let count = items.length; count > 0; count -= 1) {
    const more = items.length - count;
    const said = `${items.slice(0, count).join("; ")}${more > 0 ? `; and ${more} more` : ""}`;
    const set = wrapped(said, style, width, lines + 1);
    if (set.length <= lines) return set;
    if (count === 1) return wrapped(said, style, width, lines);
  }
  return [];
}

function nothingPoured(room: Box): CardItem[] {
  return [lineAt(room.x, room.y + 40, "Nothing was poured.", text(40), true)];
}

// Colourways

/** A colourway, or a piece of one that has more sources than a column is high. */
type Piece = { lot: RecapLot; parts: readonly RecapPart[]; follows: boolean };

function inPieces(lots: readonly RecapLot[], room: Box): Piece[] {
  const most = Math.max(1, Math.floor((room.height - 2 * nameRow) / partRow));
  return lots.flatMap((lot) => {
    const pieces: Piece[] = [];
    const count = Math.max(1, Math.ceil(lot.parts.length / most));
    const each = Math.ceil(lot.parts.length / count);
    for (let at = 0; at < count; at += 1) {
      const parts = lot.parts.slice(at * each, (at + 1) * each);
      pieces.push({ lot, parts, follows: at > 0 });
    }
    return pieces;
  });
}

/** How colourways are laid out on one leaf. */
type Fit = {
  columns: number;
  scale: number;
  hank: number;
  cellWidth: number;
  depths: number;
  rows: readonly number[];
  used: number;
};
type Leaf = { lots: readonly Piece[]; fit: Fit };

/** What may be shortened, so that all has room: first the names of colourways, then of sources too. */
type Cut = keyof typeof cuts;
const cuts = { nothing: 0, names: 1, all: 2 };

/** Leaves of even length, as few as hold everything; `null` where `most` do not. */
function leavesOf(
  lots: readonly RecapLot[],
  room: Box,
  columns: number,
  most = Number.POSITIVE_INFINITY,
): Leaf[] | null {
  const pieces = inPieces(lots, room);
  const least = pieces.reduce((sum, { parts }) => sum + nameRow + partRow * parts.length, 0);
  const fewest = Math.max(1, Math.ceil(least / (room.height * columns)));
  for (let leaves = fewest; leaves <= most; leaves += 1) {
    const from = (leaf: number) => Math.ceil((leaf * pieces.length) / leaves);
    const groups = Array.from({ length: leaves }, (_, at) => pieces.slice(from(at), from(at + 1)));
    // A name is shortened rather than carried on to a leaf of its own, if that is all it takes.
    for (const cut of ["nothing", "names", "all"] as const) {
      const made: Leaf[] = [];
      for (const group of groups) {
        const fit = bestFit(group, room, columns, cut);
        if (fit === null) break;
        made.push({ lots: group, fit });
      }
      if (made.length === leaves) return made;
    }
    if (leaves >= pieces.length) return groups.map((lots) => ({ lots, fit: leastFit(room) }));
  }
  return null;
}

function leastFit(room: Box): Fit {
  const rows = [room.height];
  const whole = { cellWidth: room.width, rows, used: room.height };
  return { columns: 1, scale: 1, hank: leastHank, depths: 120, ...whole };
}

/** The largest letters that all colourways fit in, then the largest hanks; `null` where none do. */
function bestFit(lots: readonly Piece[], room: Box, most: number, cut: Cut): Fit | null {
  if (lots.length === 0) return leastFit(room);
  let best: Fit | null = null;
  // Where names are shortened, smaller letters leave more of them.
  for (const scale of cut === "nothing" ? scales : scales.filter((one) => one <= 1.22)) {
    for (let columns = Math.min(most, lots.length); columns >= 1; columns -= 1) {
      const free = (room.width - (columns - 1) * gap.column * scale) / columns;
      const cellWidth = Math.min(free, widestCell * scale);
      const least = fitOf(lots, columns, scale, leastHank, cellWidth, cut);
      if (least === null || least.used > room.height) continue;
      for (const hank of hankHeights) {
        const fit = fitOf(lots, columns, scale, hank, cellWidth, cut);
        if (fit === null || fit.used > room.height) continue;
        if (best === null || fit.hank * fit.scale > best.hank * best.scale) best = fit;
        break;
      }
    }
    if (best !== null) return best;
  }
  return best;
}

function fitOf(
  lots: readonly Piece[],
  columns: number,
  scale: number,
  hank: number,
  cellWidth: number,
  cut: Cut,
): Fit | null {
  const rows: number[] = [];
  const depths = depthColumn(lots, scale);
  for (let from = 0; from < lots.length; from += columns) {
    const heights: number[] = [];
    for (const piece of lots.slice(from, from + columns)) {
      const cell = cellOf(piece, cellWidth, scale, hank, depths);
      if (cell.cramped || cell.cuts > cuts[cut]) return null;
      heights.push(cell.height);
    }
    rows.push(Math.max(...heights));
  }
  const used = rows.reduce((sum, row) => sum + row, 0) + (rows.length - 1) * gap.row * scale;
  return { columns, scale, hank, cellWidth, depths, rows, used };
}

/** Width of the column of depths, alike in all cells of a leaf, px. */
function depthColumn(lots: readonly Piece[], scale: number): number {
  const style = text(leastSize * scale, true);
  return Math.max(
    0,
    ...lots.flatMap(({ lot, parts }) => [
      ...parts.map((part) => (lot.massUg > 0 ? widthOf(showDepth(part.depthPct), style) : 0)),
      widthOf(depthOf(lot), depthStyle(scale)),
    ]),
  );
}

function depthStyle(scale: number): Style {
  return strong(leastSize * scale * 1.1, true);
}

function depthOf(lot: RecapLot): string {
  return lot.massUg > 0 ? showDepth(lot.depthPct) : "";
}

const marks: Record<RecapColour["how"], string> = {
  predicted: "predicted",
  photographed: "photo",
  measured: "measured",
};

function labelSize(scale: number): number {
  return Math.max(leastSize, leastSize * scale * 0.8);
}

type Cell = {
  hankWidth: number;
  textLeft: number;
  name: readonly string[];
  /** True when the mass has a line of its own. */
  massApart: boolean;
  height: number;
  /** What does not stand whole: 0 nothing, 1 the colourway's name, 2 the name of a source. */
  cuts: 0 | 1 | 2;
  /** A name has so little room that it says nothing. */
  cramped: boolean;
};

function cellOf(
  { lot, parts, follows }: Piece,
  width: number,
  scale: number,
  hank: number,
  depths: number,
): Cell {
  const size = leastSize * scale;
  const label = widthOf(marks[lot.colour.how], text(labelSize(scale)));
  const hankWidth = Math.max(hank * scale * 0.46, label);
  const textLeft = hankWidth + gap.hank * scale;
  const room = width - textLeft;
  const nameStyle = strong(34 * scale);
  const nameRoom = room - depths - gap.figure * scale;
  const name = wrapped(follows ? `${lot.name}, more` : lot.name, nameStyle, nameRoom, 2);
  const mass = widthOf(massOf(lot), text(size)) + 14 * scale;
  const massApart =
    lot.massUg > 0 && widthOf(isolated(name.at(-1) ?? ""), nameStyle) + mass > nameRoom;
  const lines = name.length * nameRow + (massApart ? partRow : 0);
  const textHeight = (lines + partRow * Math.max(1, parts.length)) * scale;
  const height = Math.max(textHeight, follows ? 0 : hank * scale + labelSize(scale) * 1.25);
  let cuts: Cell["cuts"] = (name.at(-1) ?? "").endsWith("…") ? 1 : 0;
  let cramped = nameRoom < leastTitle * scale;
  for (const part of parts) {
    const free = titleRoom(part, room, scale, depths);
    if (widthOf(`${isolated(part.name)}${part.tail}`, text(size)) <= free) continue;
    cuts = 2;
    if (free < leastTitle * scale) cramped = true;
  }
  return { hankWidth, textLeft, name, massApart, height, cuts, cramped };
}

/** Room for a source's name between its strip and its amount, px. */
function titleRoom(part: RecapPart, room: number, scale: number, depths: number): number {
  const amount = sayPart(part);
  const figures =
    amount === "" ? 0 : widthOf(amount, text(leastSize * scale, true)) + gap.figure * scale;
  return room - (stripWidth + gap.strip + gap.figure) * scale - depths - figures;
}

function massOf({ massUg }: RecapLot): string {
  return massUg > 0 ? showMass(massUg) : "";
}

function drawn(lots: readonly Piece[], fit: Fit, room: Box): CardItem[] {
  const { columns, scale, rows } = fit;
  // What is left over stands between the rows, up to a limit: a card with little on it hangs from
  // its head, it is not torn apart.
  const spare = Math.max(0, room.height - fit.used);
  const between = gap.row * scale + Math.min(gap.row * scale, spare / Math.max(1, rows.length));
  const columnStep = (room.width + gap.column * scale) / columns;
  const labelRoom = labelSize(scale) * 1.25;
  // All hanks of a leaf are of one size, as skeins of one set are.
  const tall = Math.min(Math.min(...rows) - labelRoom, fit.hank * scale * 1.25);
  const items: CardItem[] = [];
  let top = room.y;
  rows.forEach((height, row) => {
    lots.slice(row * columns, (row + 1) * columns).forEach((piece, column) => {
      items.push(...drawnCell(piece, fit, room.x + column * columnStep, top, tall));
    });
    top += height + between;
  });
  return items;
}

function drawnCell(piece: Piece, fit: Fit, left: number, top: number, tall: number): CardItem[] {
  const { scale, cellWidth, hank, depths } = fit;
  const { lot, parts, follows } = piece;
  const size = leastSize * scale;
  const cell = cellOf(piece, cellWidth, scale, hank, depths);
  const items: CardItem[] = [];
  const labelStyle = text(labelSize(scale));
  if (!follows) {
    const wide = Math.min(cell.hankWidth, tall * 0.46);
    items.push({
      kind: "hank",
      x: left + (cell.hankWidth - wide) / 2,
      y: top,
      width: wide,
      height: tall,
      seed: lot.key,
      dyed: lot.dyeUg > 0,
      colour: lot.colour,
    });
    const mark = lot.dyeUg > 0 ? marks[lot.colour.how] : "undyed";
    const markWidth = widthOf(mark, labelStyle);
    items.push(
      lineAt(
        left + (cell.hankWidth - markWidth) / 2,
        top + tall + labelStyle.size * 1.02,
        mark,
        labelStyle,
        true,
      ),
    );
  }
  const textX = left + cell.textLeft;
  const right = left + cellWidth;
  const nameStyle = strong(34 * scale);
  let y = top;
  cell.name.forEach((line, at) => {
    items.push(lineAt(textX, y + nameStyle.size * 0.9, isolated(line, lot.name), nameStyle));
    if (at === 0) {
      const depth = follows ? "" : depthOf(lot);
      const foot = y + nameStyle.size * 0.9;
      if (depth !== "") items.push(lineTo(right, foot, depth, depthStyle(scale)));
    }
    if (at === cell.name.length - 1 && !cell.massApart && lot.massUg > 0 && !follows) {
      const x = textX + widthOf(isolated(line), nameStyle) + 14 * scale;
      items.push(lineAt(x, y + nameStyle.size * 0.9, massOf(lot), text(size), true));
    }
    y += nameRow * scale;
  });
  if (cell.massApart && !follows) {
    items.push(lineAt(textX, y + size * 0.86, massOf(lot), text(size), true));
    y += partRow * scale;
  }
  const style = text(size);
  const figureStyle = text(size, true);
  const titleX = textX + (stripWidth + gap.strip) * scale;
  if (parts.length === 0) {
    items.push(lineAt(textX, y + size * 0.86, "nothing poured", style, true));
  }
  for (const part of parts) {
    const foot = y + size * 0.86;
    items.push({
      kind: "strip",
      x: textX,
      y: foot - size * 0.86,
      width: stripWidth * scale,
      height: size * 1.08,
      seed: part.key,
      hex: part.hex,
      undyedHex: lot.colour.undyedHex,
      dry: part.of === "mass",
    });
    const free = titleRoom(part, right - textX, scale, depths);
    items.push(lineAt(titleX, foot, fittedWith(part.name, part.tail, style, free), style));
    const amount = sayPart(part);
    const amountRight = right - depths - gap.figure * scale;
    if (amount !== "") items.push(lineTo(amountRight, foot, amount, figureStyle));
    if (lot.massUg > 0) {
      items.push(lineTo(right, foot, showDepth(part.depthPct), figureStyle, true));
    }
    y += partRow * scale;
  }
  return items;
}
