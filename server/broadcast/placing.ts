import * as z from "zod";
import { type TextPart, textParts } from "../../shared/broadcast/words.ts";
import type { Refusal } from "../../shared/dye/refusal.ts";
import { codes, type Line, Refused } from "./line.ts";

export const overlayName = "Pourside overlay";
const browserKind = "browser_source";
const textKinds = ["text_ft2_source", "text_gdiplus"];
/** Browser sources whose address is looked at, to find one that shows the overlay already. */
const mostLookedAt = 50;

export type Placed = { ok: true; say: string } | ({ ok: false } & Refusal);

const canvasSchema = z.object({
  baseWidth: z.number().positive(),
  baseHeight: z.number().positive(),
});
const kindsSchema = z.object({ inputKinds: z.array(z.string()) });
const inputsSchema = z.object({
  inputs: z.array(
    z.object({ inputName: z.string(), inputKind: z.string(), unversionedInputKind: z.string() }),
  ),
});
const settingsSchema = z.object({ inputSettings: z.record(z.string(), z.unknown()) });
const sceneSchema = z.object({ currentProgramSceneName: z.string() });
const itemSchema = z.object({ sceneItemId: z.number() });
const nothing = z.unknown();

type Input = z.infer<typeof inputsSchema>["inputs"][number];

/** Kinds of source that this build can make, without their versions. */
export async function kindsOf(line: Line): Promise<string[]> {
  return (await line.ask("GetInputKindList", { unversioned: true }, kindsSchema)).inputKinds;
}

/** The scene that is on, and the size of the canvas, px. */
async function stageOf(line: Line) {
  const { baseWidth, baseHeight } = await line.ask("GetVideoSettings", undefined, canvasSchema);
  const { currentProgramSceneName: sceneName } = await line.ask(
    "GetCurrentProgramScene",
    undefined,
    sceneSchema,
  );
  return { sceneName, baseWidth, baseHeight };
}

export async function inputsOf(line: Line): Promise<Input[]> {
  return (await line.ask("GetInputList", undefined, inputsSchema)).inputs;
}

/** The browser source that shows the overlay: ours by name, else one with the overlay's address. */
export async function findOverlay(line: Line, address: string): Promise<string | null> {
  const inputs = await inputsOf(line);
  const browsers = inputs.filter(
    ({ unversionedInputKind }) => unversionedInputKind === browserKind,
  );
  const own = browsers.find(({ inputName }) => inputName === overlayName);
  if (own) return own.inputName;
  for (const { inputName } of browsers.slice(0, mostLookedAt)) {
    const { inputSettings } = await line.ask("GetInputSettings", { inputName }, settingsSchema);
    const { url } = inputSettings;
    if (typeof url === "string" && sameBut(url, address)) return inputName;
  }
  return null;
}

/** Whether both are the overlay's page, whatever follows the question mark. */
function sameBut(url: string, address: string): boolean {
  return url.split("?")[0] === address;
}

/** Puts the overlay into the current scene at canvas size, or brings the one that is there up to date. */
export async function placeOverlay(line: Line, address: string): Promise<Placed> {
  try {
    const kinds = await kindsOf(line);
    if (!kinds.includes(browserKind)) {
      return {
        ok: false,
        code: "noBrowserSource",
        say: "This build of the broadcasting software has no browser source. Text sources can stand in: stock, volume, depth and caution.",
      };
    }
    const stranger = otherKind(await inputsOf(line), overlayName, [browserKind]);
    if (stranger) return stranger;
    const { sceneName, baseWidth, baseHeight } = await stageOf(line);
    const inputSettings = {
      is_local_file: false,
      url: address,
      width: baseWidth,
      height: baseHeight,
      shutdown: false,
      restart_when_active: false,
    };
    const there = await findOverlay(line, address);
    let item: number;
    if (there === null) {
      const made = await line.ask(
        "CreateInput",
        { sceneName, inputName: overlayName, inputKind: browserKind, inputSettings },
        itemSchema,
      );
      item = made.sceneItemId;
    } else {
      await line.ask("SetInputSettings", { inputName: there, inputSettings }, nothing);
      item = await itemIn(line, sceneName, there);
    }
    await line.ask(
      "SetSceneItemTransform",
      {
        sceneName,
        sceneItemId: item,
        sceneItemTransform: { positionX: 0, positionY: 0, scaleX: 1, scaleY: 1, rotation: 0 },
      },
      nothing,
    );
    await line.ask(
      "SetSceneItemEnabled",
      { sceneName, sceneItemId: item, sceneItemEnabled: true },
      nothing,
    );
    const size = `${baseWidth} x ${baseHeight}`;
    return {
      ok: true,
      say:
        there === null
          ? `The overlay is in “${sceneName}” now, ${size}.`
          : `“${there}” was brought up to date and is in “${sceneName}”, ${size}.`,
    };
  } catch (error) {
    return unplaced(error);
  }
}

export function textName(part: TextPart): string {
  return `Pourside ${part}`;
}

/** Texts by their share of the canvas: where the line begins, and how high it is. */
const layout: Record<TextPart, { top: number; size: number }> = {
  stock: { top: 0.62, size: 0.05 },
  volume: { top: 0.7, size: 0.11 },
  depth: { top: 0.84, size: 0.04 },
  caution: { top: 0.06, size: 0.04 },
};
const leftShare = 0.05;

/** Puts the four texts into the current scene, or brings those that are there up to date. */
export async function placeTexts(line: Line, words: Record<TextPart, string>): Promise<Placed> {
  try {
    const kinds = (await line.ask("GetInputKindList", {}, kindsSchema)).inputKinds;
    const kind = kinds.find((kind) => textKinds.some((text) => kind.startsWith(text)));
    if (kind === undefined) {
      return {
        ok: false,
        code: "noTextSource",
        say: "This build of the broadcasting software has no text source either.",
      };
    }
    const inputs = await inputsOf(line);
    for (const part of textParts) {
      const stranger = otherKind(inputs, textName(part), textKinds);
      if (stranger) return stranger;
    }
    const { sceneName, baseWidth, baseHeight } = await stageOf(line);
    for (const part of textParts) {
      const inputName = textName(part);
      const { top, size } = layout[part];
      const inputSettings = {
        text: words[part],
        font: { face: "Sans Serif", size: Math.round(size * baseHeight), style: "", flags: 1 },
        outline: true,
      };
      const there = inputs.some((input) => input.inputName === inputName);
      if (there) {
        // Its look and place are the dyer's own by now.
        await line.ask(
          "SetInputSettings",
          { inputName, inputSettings: { text: words[part] } },
          nothing,
        );
        await itemIn(line, sceneName, inputName);
        continue;
      }
      const { sceneItemId } = await line.ask(
        "CreateInput",
        { sceneName, inputName, inputKind: kind, inputSettings },
        itemSchema,
      );
      await line.ask(
        "SetSceneItemTransform",
        {
          sceneName,
          sceneItemId,
          sceneItemTransform: { positionX: leftShare * baseWidth, positionY: top * baseHeight },
        },
        nothing,
      );
    }
    return { ok: true, say: `Four texts are in “${sceneName}”: stock, volume, depth and caution.` };
  } catch (error) {
    return unplaced(error);
  }
}

/** Names of our texts that are there, of the right kind. */
export async function textsThere(line: Line): Promise<TextPart[]> {
  const inputs = await inputsOf(line);
  return textParts.filter((part) =>
    inputs.some(
      (input) =>
        input.inputName === textName(part) && textKinds.includes(input.unversionedInputKind),
    ),
  );
}

export async function setText(line: Line, part: TextPart, text: string): Promise<void> {
  const data = { inputName: textName(part), inputSettings: { text } };
  await line.ask("SetInputSettings", data, nothing);
}

/** The item of a source in a scene, put there where it is missing. */
async function itemIn(line: Line, sceneName: string, sourceName: string): Promise<number> {
  try {
    return (await line.ask("GetSceneItemId", { sceneName, sourceName }, itemSchema)).sceneItemId;
  } catch (error) {
    if (!(error instanceof Refused) || error.code !== codes.noSource) throw error;
    return (await line.ask("CreateSceneItem", { sceneName, sourceName }, itemSchema)).sceneItemId;
  }
}

function otherKind(
  inputs: readonly Input[],
  name: string,
  kinds: readonly string[],
): ({ ok: false } & Refusal) | null {
  const there = inputs.find(({ inputName }) => inputName === name);
  if (!there || kinds.includes(there.unversionedInputKind)) return null;
  return {
    ok: false,
    code: "otherKind",
    say: `The broadcaster has a source “${name}” of another kind (${there.unversionedInputKind}). Rename or remove that one, then try again.`,
  };
}

function unplaced(error: unknown): { ok: false } & Refusal {
  if (!(error instanceof Refused)) throw error;
  const why = error.message === "" ? "" : ` It said: ${error.message}`;
  return { ok: false, code: "refused", say: `The broadcaster did not do it.${why}` };
}
