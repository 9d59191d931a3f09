import type { Patch, Picture, Sample } from "../../shared/colour/picture.ts";
import { type Refusal, refuse, refused } from "../../shared/dye/refusal.ts";
import { headerOf } from "./header.ts";
import { cannotDecode, type Look, type Looked, looker, type Spotted } from "./look.ts";
import type { Studio } from "./studio.ts";

/** A picture that lies open on this tablet, and never leaves it. */
export type OpenPicture = {
  /** Whole size, px, upright. */
  readonly width: number;
  readonly height: number;
  /** All of it, at most 1,600 px on a side. */
  readonly pixels: Picture;
  /** The colours that it is made of, the largest share first. */
  palette(): Promise<readonly Spotted[] | Refusal>;
  /** The colour of a piece of it by a white card in it; both in px of the whole picture. */
  sample(patch: Patch, card: Patch): Promise<Sample | Refusal>;
  /** Lets go of it. Nothing can be asked of it afterwards. */
  close(): void;
};

/** Address of the worker, put in by the build. */
declare const PICTURE_WORKER: string;

/** The largest file that is opened, bytes. */
const LARGEST_FILE = 150_000_000;

/** Bytes in which the size of nearly every picture is told, and of one with much said before it. */
const HEADS = [262_144, 8_388_608];

/** A picture that takes longer than this to open or look at is given up, ms. */
const PATIENCE_MS = 30_000;

/**
 * Opens a picture: what its first bytes say is checked before it is decoded, and it is decoded in a
 * worker where there can be one. At most one whole picture is held decoded, and only for a moment.
 */
export async function openPicture(file: Blob): Promise<OpenPicture | Refusal> {
  if (file.size === 0) return refuse("picture.empty", "This file is empty. Choose another one.");
  if (file.size > LARGEST_FILE) {
    const megabytes = Math.round(file.size / 1e6);
    return refuse(
      "picture.tooLong",
      `This file has ${megabytes}\u202fMB, more than a photograph needs. Choose one of up to ${LARGEST_FILE / 1e6}\u202fMB.`,
    );
  }
  const head = await headOf(file);
  if (head) return head;
  const looking = begin();
  const viewed = await looking.ask<"view">({ look: "view", file });
  if (refused(viewed)) {
    looking.end();
    return viewed;
  }
  return {
    ...viewed,
    palette: () => looking.ask<"palette">({ look: "palette" }),
    sample: (patch, card) => looking.ask<"sample">({ look: "sample", patch, card }),
    close: () => looking.end(),
  };
}

/** What is wrong with a picture by its first bytes; nothing when it may be decoded. */
async function headOf(file: Blob): Promise<Refusal | undefined> {
  let wrong: Refusal | undefined;
  for (const bytes of HEADS) {
    const head = await file
      .slice(0, bytes)
      .arrayBuffer()
      .catch(() => null);
    if (!head) {
      return refuse(
        "picture.unread",
        "This file could not be read from where it lies. Choose it again.",
      );
    }
    const header = headerOf(new Uint8Array(head));
    if (!refused(header)) return undefined;
    wrong = header;
    if (header.code !== "picture.none" || file.size <= bytes) break;
  }
  return wrong;
}

type Looking = {
  ask<Kind extends Look["look"]>(
    look: Extract<Look, { look: Kind }>,
  ): Promise<Looked[Kind] | Refusal>;
  end(): void;
};

function begin(): Looking {
  return typeof Worker === "function" && typeof OffscreenCanvas === "function"
    ? inWorker(new Worker(PICTURE_WORKER))
    : onPage();
}

/** What is asked comes back from `looker` as what was asked for. */
type Answer<Kind extends Look["look"]> = Looked[Kind] | Refusal;

function onPage(): Looking {
  const look = looker(pageStudio);
  return {
    ask: async (asked) => (await look(asked)) as Answer<typeof asked.look>,
    end: () => undefined,
  };
}

function inWorker(worker: Worker): Looking {
  const waiting = new Map<number, (answer: unknown) => void>();
  let asked = 0;
  const end = () => {
    worker.terminate();
    for (const answer of waiting.values()) answer(cannotDecode);
    waiting.clear();
  };
  worker.onmessage = ({ data }: MessageEvent<{ id: number; answer: unknown }>) => {
    waiting.get(data.id)?.(data.answer);
    waiting.delete(data.id);
  };
  // A worker that cannot be loaded, or that ran out of memory.
  worker.onerror = end;
  return {
    ask: (look) =>
      new Promise((resolve) => {
        asked += 1;
        const id = asked;
        const late = setTimeout(end, PATIENCE_MS);
        waiting.set(id, (answer) => {
          clearTimeout(late);
          resolve(answer as Answer<typeof look.look>);
        });
        worker.postMessage({ id, look });
      }),
    end,
  };
}

const pageStudio: Studio = {
  async decode(file) {
    const url = URL.createObjectURL(file);
    try {
      const image = new Image();
      image.src = url;
      await image.decode();
      const { naturalWidth: width, naturalHeight: height } = image;
      return { source: image, width, height, close: () => URL.revokeObjectURL(url) };
    } catch (error) {
      URL.revokeObjectURL(url);
      throw error;
    }
  },
  canvas(width, height) {
    const canvas = document.createElement("canvas");
    canvas.width = width;
    canvas.height = height;
    return canvas.getContext("2d", { willReadFrequently: true });
  },
};
