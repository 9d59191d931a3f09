declare module "bidi-js" {
  type Levels = { levels: Uint8Array; paragraphs: { start: number; end: number; level: number }[] };
  type Bidi = {
    getEmbeddingLevels(text: string, direction: "ltr" | "rtl" | "auto"): Levels;
    getReorderSegments(text: string, levels: Levels): [start: number, end: number][];
    getMirroredCharactersMap(text: string, levels: Levels): Map<number, string>;
  };
  export default function bidiFactory(): Bidi;
}
