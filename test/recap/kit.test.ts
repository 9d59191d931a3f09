import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import Papa from "papaparse";
import { afterAll, describe, expect, test } from "vitest";
import { WebVTTParser } from "webvtt-parser";
import { drawFile, drawPage, fileNameOf } from "../../overlay/follow/drawn.tsx";
import { writeRecap } from "../../server/recap/write.ts";
import { openRecord } from "../../server/record/record.ts";
import { Sessions } from "../../server/session/sessions.ts";
import { descriptionText, listingsOf, listingText, mostLetters } from "../../shared/recap/kit.ts";
import { pourColumns, poursTable } from "../../shared/recap/pours.ts";
import { sayDay } from "../../shared/recap/recap.ts";
import { sheetLines } from "../../shared/recap/steps.ts";
import type { AfterCommand } from "../../shared/session/command.ts";
import { fold } from "../../shared/session/state.ts";
import { recapView } from "../../shared/session/views/publicView.ts";
import { Desk, harbourSheet, pourOf, setupOf } from "../scenario/desk.ts";
import { longNames } from "./recaps.ts";

const folder = mkdtempSync(join(tmpdir(), "pourside-recap-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const out = join(folder, "demonstration");
const follow = { drawPage, drawFile, fileNameOf, template: "", style: "", script: "void 0" };
const written = await writeRecap(["--out", out], {}, folder, folder, follow);

describe("the demonstration's files", () => {
  const read = (name: string) => readFileSync(join(out, name), "utf8");

  test("are all written, without a server and without a browser", () => {
    if ("code" in written) throw new Error(written.say);
    expect(readdirSync(out).sort()).toEqual([...written.files].sort());
    for (const name of [
      "card-landscape.png",
      "card-landscape.svg",
      "recipe-a4.html",
      "recipe-letter.html",
      "take-away.html",
      "pours.csv",
      "description.txt",
      "listings.txt",
      "chapters.vtt",
      "captions.vtt",
    ]) {
      expect(written.files).toContain(name);
    }
  });

  test("are WebVTT that an independent parser takes without a complaint", () => {
    for (const [name, mode] of [
      ["chapters.vtt", "chapters"],
      ["captions.vtt", "captions"],
    ] as const) {
      const { cues, errors } = new WebVTTParser().parse(read(name), mode);
      expect(errors).toEqual([]);
      expect(cues.length).toBeGreaterThan(10);
      for (const { startTime, endTime } of cues) expect(endTime).toBeGreaterThan(startTime);
    }
  });

  test("say materials, recipe, chapters and cautions under the video", () => {
    const said = read("description.txt");
    expect(said.length).toBeLessThanOrEqual(mostLetters);
    expect(said).toContain("- Quay sock: 75\u202f% wool, 25\u202f% nylon, superwash");
    expect(said).toMatch(/^Rust ladder, 50\u202fg: 20\u202fmL Lantern 1\u202f% \(0\.40\u202f%\)/m);
    expect(said).toMatch(/^0:00 Harbour at dusk$/m);
    expect(said).toMatch(/^Pan C: .* on the stove 30\u202fmin at 85\u202f°C, rested 20\u202fmin$/m);
    expect(said).toContain("- Acid into water, and mind your eyes");
    expect(said).toContain("the safety data sheet of your dye, the rules where you live");
  });

  test("are the same bytes in every zone of the machine", async () => {
    const zone = process.env.TZ;
    try {
      process.env.TZ = "Pacific/Auckland";
      expect(new Date(Date.UTC(2031, 4, 17, 18)).getDate()).toBe(18);
      const other = join(folder, "other-zone");
      await writeRecap(["--out", other], {}, folder, folder, follow);
      for (const name of readdirSync(out)) {
        const same = readFileSync(join(other, name)).equals(readFileSync(join(out, name)));
        expect([name, same]).toEqual([name, true]);
      }
    } finally {
      if (zone === undefined) delete process.env.TZ;
      else process.env.TZ = zone;
    }
  });

  test("list every dyed skein for a shop", () => {
    const said = read("listings.txt");
    expect(said.match(/^Lot \d{8}-DEMO-\d+, one of one$/gm)).toHaveLength(6);
    expect(said).toContain("50\u202fg dry, superwash");
    expect(said).toContain("Care");
  });

  test("ask for nothing from outside on the recipe sheet, and hold no private note", () => {
    const said = read("recipe-a4.html");
    expect(said).toContain("@page{size:210mm 297mm");
    expect(read("recipe-letter.html")).toContain("@page{size:8.5in 11in");
    expect(said).not.toMatch(/https?:\/\/|<script|<link/);
    expect(said).toContain("left out");
    expect(said).toContain("not planned");
    expect(said).toContain("+2\u202fmL");
  });
});

describe("what is asked for and cannot be had", () => {
  const say = async (...argv: string[]) => {
    const answer = await writeRecap(argv, {}, folder, folder);
    return "code" in answer ? answer : { code: "written", say: "" };
  };

  test("is said in a sentence", async () => {
    expect((await say()).code).toBe("flags");
    expect((await say("--nonsense")).code).toBe("flags");
    expect((await say("--out", "x", "--session", "Ebb", "--data", join(folder, "none"))).code).toBe(
      "noRecord",
    );
    writeFileSync(join(folder, "file"), "");
    expect(await say("--out", join(folder, "file"))).toMatchObject({ code: "unwritable" });
  });

  test("is a session by its name, unless a running server holds the record", async () => {
    const data = join(folder, "data");
    const record = openRecord(data);
    const sessions = new Sessions(record, () => Date.UTC(2031, 4, 17, 18), "Pacific/Auckland");
    sessions.open(setupOf({ ...harbourSheet(), name: "Neap tide" }));
    const held = await say("--out", join(folder, "neap"), "--session", "neap tide", "--data", data);
    expect(held.code).toBe("locked");
    expect(held.say).toContain("/api/recap/");
    record.close();
    expect(
      await say("--out", join(folder, "neap"), "--session", "Spring", "--data", data),
    ).toMatchObject({
      code: "unknownSession",
      say: 'The record has no session "Spring". It holds "Neap tide".',
    });
    expect(
      (await say("--out", join(folder, "neap"), "--session", "neap tide", "--data", data)).code,
    ).toBe("written");
    // Nothing was poured and there is no clock: the files say so, and there are no captions.
    expect(readdirSync(join(folder, "neap"))).not.toContain("captions.vtt");
    const said = readFileSync(join(folder, "neap", "listings.txt"), "utf8");
    expect(said).toBe("There is no dyed skein to list.\n");
    // It is dated by the zone that it was held in, and that the record keeps.
    const description = readFileSync(join(folder, "neap", "description.txt"), "utf8");
    expect(description).toContain("18 May 2031");
  });
});

describe("the publishing kit", () => {
  test("keeps text in the table from being a formula", () => {
    const sheet = harbourSheet();
    const stocks = sheet.stocks.map((stock) =>
      stock.id === "lantern" ? { ...stock, name: "=1+2" } : stock,
    );
    const desk = Desk.live(setupOf({ ...sheet, stocks }));
    desk.must({ type: "pour", pour: pourOf("lantern", 12_345) });
    const { data } = Papa.parse<string[]>(poursTable(desk.state).replace("\ufeff", "").trim());
    expect(data[0]).toEqual([...pourColumns]);
    expect(data[1]?.[4]).toBe("'=1+2");
    // Two skeins of one weight share 12.345 mL to the last microlitre.
    expect(data.slice(1).map((row) => row[9])).toEqual(["6.173", "6.172"]);
  });

  test("says what was other than planned", () => {
    const desk = Desk.live();
    desk.until("s3");
    desk.must({ type: "skip", expect: "s3" });
    desk.must({ type: "pour", pour: pourOf("deepwater", 2_000) });
    const lines = sheetLines(desk.state).filter(({ status }) => status !== "open");
    expect(lines.map(({ n, what, differences }) => [n, what, differences.join()])).toEqual([
      [1, "white vinegar 5\u202f%", ""],
      [2, "Lantern 1\u202f%", ""],
      [3, "Slipway 0.5\u202f%", "left out"],
      [undefined, "Deepwater 1\u202f%", "not planned"],
    ]);
  });

  test("holds 500 pours under names of 200 letters in what a description may have", () => {
    const desk = Desk.live();
    for (let n = 0; n < 500; n += 1) {
      desk.must({
        type: "pour",
        pour: pourOf("saltmarsh", 100 + (n % 7), { pan: n % 2 ? "A" : "B" }),
      });
    }
    const [name = ""] = longNames;
    const setup = { ...desk.state.setup, name };
    const state = { ...desk.state, setup };
    const said = descriptionText(state, recapView(state), null);
    expect(said.length).toBeLessThanOrEqual(mostLetters);
    expect(said.split("\n")[0]).toBe(name.trim());
    expect(said).toContain("Ebb, 50\u202fg: ");
    expect(sheetLines(state).filter(({ status }) => status === "unplanned")).toHaveLength(500);
  });

  test("tells skeins of one colourway apart, and lists none that nothing went into", () => {
    const sheet = harbourSheet();
    const skeins = sheet.skeins.map((skein) =>
      skein.id === "2" ? { ...skein, colourway: "first-lamp" } : skein,
    );
    const desk = Desk.live(setupOf({ ...sheet, skeins }));
    desk.must({ type: "pour", pour: pourOf("lantern", 20_000) });
    const recap = recapView(desk.state);
    expect(listingText(desk.state, recap, "2")).toContain("Lot 20310517-SESS-1, 2 of 2\n");
    expect(listingText(desk.state, recap, "tweed")).toBeNull();
  });

  test("lists and counts only the dyed skeins of a colourway that is dyed in part", () => {
    const sheet = harbourSheet();
    const skeins = sheet.skeins.map((skein) =>
      ["1", "2", "3"].includes(skein.id) ? { ...skein, colourway: "first-lamp" } : skein,
    );
    const desk = Desk.live(setupOf({ ...sheet, skeins }));
    // Skeins 1 and 2 lie in pan A, skein 3 in pan B.
    desk.must({ type: "pour", pour: pourOf("lantern", 20_000, { skeins: ["2"] }) });
    const first = recapView(desk.state);
    expect(listingText(desk.state, first, "1")).toBeNull();
    expect(listingText(desk.state, first, "2")).toContain("-1, one of one\n");
    desk.must({ type: "pour", pour: pourOf("lantern", 20_000, { pan: "B", skeins: ["3"] }) });
    const recap = recapView(desk.state);
    const listed = listingsOf(desk.state, recap);
    expect(listed.map(({ skein }) => skein)).toEqual(["2", "3"]);
    expect(listed.map(({ text }) => /-1, (.*)$/m.exec(text)?.[1])).toEqual(["1 of 2", "2 of 2"]);
  });

  test("keeps a lot number whatever is poured and corrected after the stream", () => {
    const desk = Desk.live();
    const pour = pourOf("lantern", 20_000, { pan: "B", skeins: ["4"] });
    const early = desk.must({ type: "pour", pour: pourOf("lantern", 9_000, { skeins: ["1"] }) });
    desk.must({ type: "pour", pour });
    desk.must({ type: "close" });
    const lotOf = (skein: string) =>
      /^Lot (\S+),/m.exec(listingText(desk.state, recapView(desk.state), skein) ?? "")?.[1];
    expect(lotOf("4")).toBe("20310517-SESS-4");
    const off = (command: AfterCommand) => desk.must({ type: "after", command });
    off({ type: "correct", act: early, to: null, reason: "It was another bottle." });
    expect(lotOf("1")).toBeUndefined();
    expect(lotOf("4")).toBe("20310517-SESS-4");
    off({ type: "pour", pour: pourOf("lantern", 5_000, { skeins: ["2"] }) });
    off({
      type: "empty",
      vessels: ["saltmarsh"],
      skein: { id: "last", name: "Last", base: "quay", massUg: 50_000_000, pan: "C" },
    });
    expect([lotOf("2"), lotOf("4")]).toEqual(["20310517-SESS-2", "20310517-SESS-4"]);
    const own = lotOf("last");
    expect(own).toMatch(/^20310517-SESS-N\d+$/);
    off({ type: "pour", pour: pourOf("lantern", 5_000, { pan: "C", skeins: ["last"] }) });
    expect(lotOf("last")).toBe(own);
  });

  test("is dated by the zone that the session was held in, wherever it is read", () => {
    // 17 May 2031, 18:00 in UTC: the evening of the 17th in Lisbon, the 18th in Auckland.
    const dayIn = (zone?: string) => {
      const event = { type: "opened" as const, setup: setupOf(harbourSheet()) };
      const at = Date.UTC(2031, 4, 17, 18);
      const opened = { ...event, ...(zone === undefined ? {} : { zone }) };
      return recapView(fold("s", [{ seq: 1, at, serverAt: at, event: opened }])).day;
    };
    expect(["Europe/Lisbon", "Pacific/Auckland"].map(dayIn)).toEqual(["2031-05-17", "2031-05-18"]);
    expect([dayIn(), dayIn("Nowhere/Atall")]).toEqual(["2031-05-17", "2031-05-17"]);
    expect(sayDay(dayIn("Pacific/Auckland"))).toBe("18 May 2031");
  });
});
