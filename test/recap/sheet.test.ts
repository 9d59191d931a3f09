import Papa from "papaparse";
import { expect, test } from "vitest";
import { sheetHtml } from "../../server/recap/sheetFile.ts";
import { poursTable } from "../../shared/recap/pours.ts";
import { comparison } from "../../shared/session/outcome.ts";
import { recapView } from "../../shared/session/views/publicView.ts";
import { Desk } from "../scenario/desk.ts";
import { nextDay } from "../scenario/nextDay.ts";

/** Each section of a sheet by its heading, as a reader sees it. */
function sectionsOf({ state }: Desk): Record<string, string> {
  const [, body = ""] = sheetHtml(state, recapView(state), "A4").split("</style>");
  const parts = body.split("<h2>").slice(1);
  return Object.fromEntries(
    parts.map((part) => {
      const [title = "", rest = ""] = part.split("</h2>");
      const text = rest.replace(/<[^>]*>/g, " ").replace(/&lt;/g, "<");
      return [title, text.replace(/[\s\u202f]+/g, " ")];
    }),
  );
}

test("the recipe sheet sets apart what was done, corrected and seen after the stream", () => {
  const { desk } = nextDay();
  const parts = sectionsOf(desk);
  expect(parts["Step by step"]).toContain("12.5 mL not planned, corrected");
  expect(parts["Step by step"]).not.toContain("late");
  expect(parts["After the stream"]).toContain("Lantern 1 % C : late");
  expect(parts["After the stream"]).toContain("5 mL");
  const corrected = parts["Corrected after the stream"];
  expect(corrected).toMatch(
    /20 mL Saltmarsh 1 % into pan A +12\.5 mL Saltmarsh 1 % into pan A +misread the <syringe>/,
  );
  expect(corrected).toMatch(/3 mL Lantern 1 % into pan A +It never happened +it never went in/);
  const apart = comparison(desk.state, "1")?.difference.toFixed(1);
  expect(parts["How the skeins came out"]).toContain(
    `Skein 1 : photographed, ${apart} CIEDE2000 from`,
  );
  expect(parts["How the skeins came out"]).toContain("Rinse: some dye in the water, cloth clean.");
});

test("a sheet of a session that nobody looked at again has no such parts", () => {
  const desk = Desk.live();
  desk.until("s3");
  desk.must({ type: "close" });
  const titles = Object.keys(sectionsOf(desk));
  expect(titles).toContain("Step by step");
  for (const title of [
    "After the stream",
    "Corrected after the stream",
    "How the skeins came out",
  ]) {
    expect(titles).not.toContain(title);
  }
});

test("the table of pours says what was corrected and why, and what was poured off air", () => {
  const text = poursTable(nextDay().desk.state).replace(/^\ufeff/, "");
  const { data } = Papa.parse<Record<string, string>>(text, { header: true, skipEmptyLines: true });
  const told = data.map((row) => [row.pour, row.corrected, row.correction, row["off air"]]);
  const correction = "was 20\u202fmL Saltmarsh 1\u202f% into pan A: misread the <syringe>";
  expect(told).toContainEqual(["1", "yes", correction, "no"]);
  expect(told).toContainEqual(["2", "no", "", "yes"]);
  expect(new Set(told.map(([pour]) => pour))).toEqual(new Set(["1", "2"]));
});
