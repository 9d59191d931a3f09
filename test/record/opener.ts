/**
 * Says `opening`, opens the record in the folder given and says `opened`, or
 * `problem <code> <sentence>`; then keeps it open until it is ended.
 */
import { writeSync } from "node:fs";
import { openRecord, RecordProblem } from "../../server/record/record.ts";

const [folder] = process.argv.slice(2);
if (folder === undefined) throw new Error("name the data folder");
writeSync(1, "opening\n");
try {
  openRecord(folder);
  writeSync(1, "opened\n");
  setInterval(() => {}, 1_000);
} catch (error) {
  if (!(error instanceof RecordProblem)) throw error;
  writeSync(1, `problem ${error.code} ${error.message}\n`);
  process.exit(1);
}
