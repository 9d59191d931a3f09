import type { Page } from "playwright-core";

/** A picture of the page's window in which what is not painted is transparent. */
export function photograph(page: Page): Promise<Buffer> {
  return page.screenshot({ omitBackground: true });
}

/** How many pixels of a picture are not wholly transparent. */
export function inkOf(page: Page, picture: Buffer): Promise<number> {
  return page.evaluate(async (source) => {
    const image = new Image();
    image.src = source;
    await image.decode();
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = [image.width, image.height];
    const context = canvas.getContext("2d");
    if (!context) throw new Error("There is no canvas.");
    context.drawImage(image, 0, 0);
    const { data } = context.getImageData(0, 0, image.width, image.height);
    let ink = 0;
    for (let at = 3; at < data.length; at += 4) if ((data[at] ?? 0) > 0) ink += 1;
    return ink;
  }, dataUrl(picture));
}

/**
 * How many pixels differ between two pictures by a tenth of the largest relative luminance or
 * more, over a white video: what WCAG 2.2 (2.3.1) counts as one half of a flash.
 */
export function changedArea(page: Page, before: Buffer, after: Buffer): Promise<number> {
  return page.evaluate(
    async (sources) => {
      const luminances: Float32Array[] = [];
      for (const source of sources) {
        const image = new Image();
        image.src = source;
        await image.decode();
        const canvas = document.createElement("canvas");
        [canvas.width, canvas.height] = [image.width, image.height];
        const context = canvas.getContext("2d");
        if (!context) throw new Error("There is no canvas.");
        context.fillStyle = "#fff";
        context.fillRect(0, 0, canvas.width, canvas.height);
        context.drawImage(image, 0, 0);
        const { data } = context.getImageData(0, 0, image.width, image.height);
        const linear = (value = 0) => {
          const share = value / 255;
          return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
        };
        const table = Array.from({ length: 256 }, (_, value) => linear(value));
        const of = (at: number) => table[data[at] ?? 0] ?? 0;
        const luminance = new Float32Array(data.length / 4);
        for (let at = 0; at < luminance.length; at += 1) {
          luminance[at] = 0.2126 * of(4 * at) + 0.7152 * of(4 * at + 1) + 0.0722 * of(4 * at + 2);
        }
        luminances.push(luminance);
      }
      const [first, second] = luminances;
      if (!first || !second) throw new Error("Two pictures are compared.");
      return first.filter((value, at) => Math.abs(value - (second[at] ?? 0)) >= 0.1).length;
    },
    [dataUrl(before), dataUrl(after)],
  );
}

function dataUrl(picture: Buffer): string {
  return `data:image/png;base64,${picture.toString("base64")}`;
}
