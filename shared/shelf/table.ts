import Papa from "papaparse";
import { showCount } from "../dye/display.ts";

/** A line of a table: where it stands in the file, from 1, and its cells by column. */
export type Row = { line: number; cells: Readonly<Record<string, string>> };
/** What is wrong with a file, at a line, and in a column where there is one. */
export type LineProblem = { line: number; column?: string; say: string };
export type ReadTable =
  | { ok: true; rows: readonly Row[] }
  | { ok: false; problems: readonly LineProblem[] };

/** Lines that a table may have, the heading counted. */
export const mostLines = 2_001;
/** Problems are told until there are so many. */
export const mostProblems = 50;

/**
 * Reads a table with a heading, as comma-separated values (RFC 4180) or with semicolons or tabs
 * between. Columns may stand in any order; one that is not known, or is missing, is told.
 */
export function readTable(
  text: string,
  columns: readonly string[],
  required: readonly string[],
): ReadTable {
  const plain = text.replace(/^\ufeff/, "");
  const known = new Map(columns.map((column) => [plainName(column), column]));
  const parsed = Papa.parse<string[]>(plain, {
    // One line more than may be there is enough to know, whatever the size of the file.
    preview: mostLines + 1,
    delimiter: delimiterOf(plain, known),
    skipEmptyLines: false,
  });
  if (parsed.data.length > mostLines) {
    const most = showCount(mostLines - 1, "line");
    return failed(
      mostLines + 1,
      `This file goes on past ${most}. A shelf is not as long: split it.`,
    );
  }
  const lines = numbered(parsed.data);
  const quotes = parsed.errors.find((error) => error.type === "Quotes");
  if (quotes) {
    const line = lines[quotes.row ?? 0]?.line ?? 1;
    return failed(line, 'A quotation mark is opened and not closed. Write " inside a cell as "".');
  }
  const [heading, ...body] = lines.filter(({ cells }) => cells.some((cell) => cell.trim() !== ""));
  if (!heading) return failed(1, "This file is empty.");
  const names = heading.cells.map((cell) => plainName(bare(cell)));
  const problems: LineProblem[] = [];
  names.forEach((name, at) => {
    const cell = heading.cells[at] ?? "";
    if (name === "") return;
    if (!known.has(name)) {
      const say = `There is no column "${cell.trim()}" here. Known are: ${columns.join(", ")}.`;
      problems.push({ line: heading.line, say });
    } else if (names.indexOf(name) !== at) {
      problems.push({ line: heading.line, say: `The column "${cell.trim()}" stands twice.` });
    }
  });
  for (const column of required) {
    if (!names.includes(plainName(column))) {
      problems.push({ line: heading.line, say: `The column "${column}" is missing.` });
    }
  }
  const rows = body.map(({ line, cells }) => {
    const byColumn: Record<string, string> = {};
    cells.forEach((cell, at) => {
      const column = known.get(names[at] ?? "");
      if (column !== undefined) byColumn[column] = bare(cell);
      else if (cell.trim() !== "" && problems.length < mostProblems) {
        problems.push({ line, say: `There are more cells than columns: "${shortened(cell)}".` });
      }
    });
    return { line, cells: byColumn };
  });
  return problems.length > 0 ? { ok: false, problems } : { ok: true, rows };
}

/**
 * A table as comma-separated values: a byte order mark, so that spreadsheets see that it is UTF-8,
 * and CR LF after each line (RFC 4180). A cell that a spreadsheet would take for a formula gets an
 * apostrophe before it, which `readTable` takes off again.
 */
export function writeTable(
  columns: readonly string[],
  rows: readonly (readonly string[])[],
): string {
  const cells = [columns, ...rows].map((row) => row.map(neutral));
  return `\ufeff${Papa.unparse(cells, { newline: "\r\n" })}\r\n`;
}

/** What starts a formula in a spreadsheet, with any apostrophes and blanks before it. */
const FORMULA = /^'*\s*[=+\-@\t\r]/;

/** A cell that is text wherever it is opened. */
export function neutral(cell: string): string {
  return FORMULA.test(cell) ? `'${cell}` : cell;
}

/** A cell without the apostrophe of `neutral`. */
export function bare(cell: string): string {
  return cell.startsWith("'") && FORMULA.test(cell) ? cell.slice(1) : cell;
}

/** What stands between cells: of those in use, the one that makes most known columns of the heading. */
function delimiterOf(text: string, known: ReadonlyMap<string, string>): string {
  const columnsBy = (delimiter: string) => {
    const { data } = Papa.parse<string[]>(text, {
      delimiter,
      preview: 1,
      skipEmptyLines: "greedy",
    });
    return (data[0] ?? []).filter((cell) => known.has(plainName(bare(cell)))).length;
  };
  return [",", ";", "\t"].reduce((a, b) => (columnsBy(b) > columnsBy(a) ? b : a));
}

function failed(line: number, say: string): ReadTable {
  return { ok: false, problems: [{ line, say }] };
}

/** Rows with the line each begins at: a cell in quotation marks may go over several. */
function numbered(rows: readonly string[][]): { line: number; cells: string[] }[] {
  let line = 1;
  return rows.map((cells) => {
    const at = line;
    line += 1 + cells.reduce((sum, cell) => sum + (cell.match(/\r\n|\r|\n/g)?.length ?? 0), 0);
    return { line: at, cells };
  });
}

function plainName(name: string): string {
  return name.trim().toLowerCase().replace(/\s+/g, " ");
}

function shortened(cell: string): string {
  const text = cell.trim();
  return text.length > 30 ? `${text.slice(0, 30)}\u2026` : text;
}
