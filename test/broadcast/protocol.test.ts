import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { Bench, password, pause, until } from "./bench.ts";
import { Peer } from "./peer.ts";

// Shown on a peer that answers as the published protocol says. Browser sources and chapter marks
// are not shown on a real broadcaster here: Debian's build has neither.
const notReal = "on a peer of the published protocol, not shown on a real broadcaster";

let bench: Bench;
let peer: Peer;

beforeEach(async () => {
  bench = await Bench.open();
  peer = await Peer.open(password);
});

afterEach(async () => {
  await bench.end();
  await peer.close();
});

const linked = async () => {
  await bench.link(peer.address);
  await until(() => bench.word?.state === "on");
};
const answered = async (method: string, path: string, body?: unknown) => {
  const { text } = await bench.ask(method, path, body);
  return JSON.parse(text) as { ok?: boolean; code?: string; say?: string };
};

/** A browser source of this name with the overlay's address, seen by viewers. */
function withOverlay(inputName = "Pourside overlay", inputKind = "browser_source"): void {
  const inputs = [{ inputName, inputKind, unversionedInputKind: inputKind }];
  peer.answer("GetInputList", () => ({ inputs }));
  peer.answer("GetInputSettings", () => ({
    inputSettings: { url: `http://127.0.0.1:${bench.port}/overlay` },
  }));
  peer.answer("GetSourceActive", () => ({ videoActive: true, videoShowing: true }));
  peer.answer("SetInputSettings", () => ({}));
  peer.answer("SetSceneItemTransform", () => ({}));
  peer.answer("SetSceneItemEnabled", () => ({}));
  peer.answer("GetSceneItemId", () => ({ sceneItemId: 4 }));
  peer.answer("PressInputPropertiesButton", () => ({}));
}

describe(`the overlay as a browser source, ${notReal}`, () => {
  test("is added to the current scene at canvas size by one tap", async () => {
    withOverlay();
    peer.answer("GetInputList", () => ({ inputs: [] }));
    peer.answer("CreateInput", () => ({ sceneItemId: 9 }));
    peer.answer("GetVideoSettings", () => ({ baseWidth: 2560, baseHeight: 1440 }));
    await linked();
    const { ok, say } = await answered("POST", "/api/broadcast/overlay");
    expect({ ok, say }).toEqual({ ok: true, say: "The overlay is in “Bench” now, 2560 x 1440." });
    expect(peer.of("CreateInput")).toMatchObject([
      {
        sceneName: "Bench",
        inputName: "Pourside overlay",
        inputKind: "browser_source",
        inputSettings: { url: `${bench.address}/overlay`, width: 2560, height: 1440 },
      },
    ]);
  });

  test.each(["Pourside overlay", "my own “name” 🧶"])(
    "is found and brought up to date where it is there already, as %s",
    async (name) => {
      withOverlay(name);
      await linked();
      expect((await answered("POST", "/api/broadcast/overlay")).say).toContain(`“${name}”`);
      expect(peer.of("CreateInput")).toEqual([]);
      expect(peer.of("SetInputSettings")).toMatchObject([
        { inputName: name, inputSettings: { width: 1920, height: 1080 } },
      ]);
    },
  );

  test("is not laid over a source of its name that is of another kind", async () => {
    withOverlay("Pourside overlay", "color_source_v3");
    await linked();
    const { code, say } = await answered("POST", "/api/broadcast/overlay");
    expect(code).toBe("otherKind");
    expect(say).toContain("of another kind");
    expect(peer.of("SetInputSettings")).toEqual([]);
  });

  test("is reloaded on connecting when it is visible and silent, then given a new address, and left alone when it calls in", async () => {
    withOverlay();
    await linked();
    await until(() => peer.of("PressInputPropertiesButton").length === 1, 2_000);
    const refreshedAt = performance.now();
    expect(peer.of("PressInputPropertiesButton")).toEqual([
      { inputName: "Pourside overlay", propertyName: "refreshnocache" },
    ]);
    await until(() => /reloaded/.test(bench.word?.did?.say ?? ""));
    await until(() => peer.of("SetInputSettings").length === 1, 14_000);
    expect(performance.now() - refreshedAt).toBeGreaterThan(9_000);
    const [{ inputSettings } = {}] = peer.of("SetInputSettings");
    expect(JSON.stringify(inputSettings)).toMatch(/overlay\?revived=/);
    await until(() => /address anew/.test(bench.word?.did?.say ?? ""));
    await bench.overlay();
    await until(() => /called in again/.test(bench.word?.did?.say ?? ""));
    await pause(1_500);
    expect(peer.of("PressInputPropertiesButton").length).toBe(1);
    bench.closeOverlays();
    await until(() => peer.of("PressInputPropertiesButton").length === 2, 14_000);
  });

  test("is left alone while viewers do not see it", async () => {
    withOverlay();
    peer.answer("GetSourceActive", () => ({ videoActive: false, videoShowing: false }));
    await linked();
    await until(() => peer.of("GetSourceActive").length > 0);
    await pause(300);
    expect(peer.of("PressInputPropertiesButton")).toEqual([]);
  });
});

describe(`chapter marks in the recording, ${notReal}`, () => {
  const recording = { outputActive: true, outputDuration: 5_000, outputPaused: false };

  test("are written for each pour while it records, when the request is among those it answers", async () => {
    peer.answer("CreateRecordChapter", () => ({}));
    peer.answer("GetRecordStatus", () => recording);
    await linked();
    await until(async () => (await bench.report()).runs.length === 1);
    await bench.goLive();
    await bench.advance();
    await until(
      () => peer.of("CreateRecordChapter").length > 0 || bench.state.bench.poured.length === 0,
      1_000,
    );
    while (bench.state.bench.poured.length === 0) {
      await pause(450);
      await bench.advance();
    }
    await until(() => peer.of("CreateRecordChapter").length === 1);
    expect(String(peer.of("CreateRecordChapter")[0]?.chapterName)).toMatch(/into pan A$/);
    expect((await bench.report()).chapterMarks).toBe(true);
  });

  test("are not asked for where the request is not among those", async () => {
    peer.answer("GetRecordStatus", () => recording);
    await linked();
    expect((await bench.report()).chapterMarks).toBe(false);
  });
});

describe("scenes", () => {
  const names = Array.from({ length: 300 }, (_, i) => `Scene “${i}” 🧶 "q" <b>`);
  const withScenes = () => {
    peer.answer("GetSceneList", () => ({
      currentProgramSceneName: names[0],
      scenes: names.map((sceneName) => ({ sceneName })),
    }));
    peer.answer("SetCurrentProgramScene", ({ sceneName }) => {
      if (!names.includes(String(sceneName))) return { refused: 600, comment: "No scene." };
      setTimeout(() => peer.tell("CurrentProgramSceneChanged", { sceneName }), 5);
      return {};
    });
  };

  test("of whatever number and name are listed, bound and followed, and one that somebody chose holds until the tap", async () => {
    withScenes();
    await linked();
    await until(async () => (await bench.report()).scenes.length === 300);
    await bench.ask("PUT", "/api/broadcast/scenes", { pour: names[7], heat: names[8] });
    await bench.goLive();
    await until(() =>
      peer.of("SetCurrentProgramScene").some(({ sceneName }) => sceneName === names[7]),
    );
    peer.tell("CurrentProgramSceneChanged", { sceneName: names[250] });
    await until(() => bench.word?.heldBy === names[250]);
    const before = peer.of("SetCurrentProgramScene").length;
    await bench.advance();
    await pause(200);
    expect(peer.of("SetCurrentProgramScene").length).toBe(before);
    await bench.ask("POST", "/api/broadcast/follow");
    await until(() => peer.of("SetCurrentProgramScene").length > before);
    await until(() => bench.word?.heldBy === null);
  });

  test("that are renamed stay bound, and that are gone are said", async () => {
    withScenes();
    await linked();
    await bench.ask("PUT", "/api/broadcast/scenes", { pour: names[7] });
    peer.tell("SceneNameChanged", { oldSceneName: names[7], sceneName: "New" });
    await until(async () => (await bench.report()).bindings.pour === "New");
    peer.tell("SceneRemoved", { sceneName: "New", isGroup: false });
    await until(() => /“New” is gone/.test(bench.word?.did?.say ?? ""));
    await bench.goLive();
    await until(() => /There is no scene “New”/.test(bench.word?.did?.say ?? ""));
    await bench.advance();
  });
});
