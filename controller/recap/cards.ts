import type { Kit } from "../../shared/recap/kit.ts";

/** One leaf of the recap card in one format, with the files that it is saved as. */
export type CardFile = {
  /** "Portrait, 1 of 2" */
  title: string;
  width: number;
  height: number;
  png: string;
  svg: string;
};

const formats = [
  { format: "landscape", title: "Landscape", width: 1920, height: 1080 },
  { format: "portrait", title: "Portrait", width: 1080, height: 1350 },
  { format: "tall", title: "Tall", width: 1080, height: 1920 },
];

/** The cards among the files of a kit, format by format and leaf by leaf. */
export function cardsIn(files: Kit["files"]): CardFile[] {
  const names = new Set(files.map(({ name }) => name));
  return formats.flatMap(({ format, title, width, height }) => {
    const stem = `card-${format}`;
    const leaves = [...names].filter((name) => name.startsWith(stem) && name.endsWith(".svg"));
    return leaves.map((svg, at) => ({
      title: leaves.length > 1 ? `${title}, ${at + 1} of ${leaves.length}` : title,
      width,
      height,
      svg,
      png: svg.replace(/svg$/, "png"),
    }));
  });
}

const sayings: Readonly<Record<string, { title: string; note: string }>> = {
  "recipe-a4.html": { title: "Recipe sheet, A4", note: "planned beside poured, to print" },
  "recipe-letter.html": { title: "Recipe sheet, Letter", note: "planned beside poured, to print" },
  "take-away.html": {
    title: "Take-away recipe",
    note: "one page that scales without a network, to host or to send",
  },
  "pours.csv": { title: "All pours", note: "comma-separated values, for a spreadsheet" },
  "description.txt": { title: "Video description", note: "text" },
  "listings.txt": { title: "All listings", note: "text" },
  "chapters.vtt": { title: "Chapters", note: "WebVTT, for the video" },
  "captions.vtt": { title: "Captions", note: "WebVTT, for the video" },
};

/** What is to be saved besides the cards, in words. */
export function othersIn(files: Kit["files"]): { name: string; title: string; note: string }[] {
  return files.flatMap(({ name }) => {
    const saying = sayings[name];
    return saying === undefined ? [] : [{ name, ...saying }];
  });
}
