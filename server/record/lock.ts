import { join } from "node:path";
import Database from "libsql";

/**
 * Holds the data folder for this process until the returned function is called or the process ends,
 * however it ends.
 *
 * The lock is the operating system's own lock on `record.lock`, taken through the database library
 * because Node offers none: it leaves nothing behind after a kill or a power cut, unlike a file that
 * names a process. It is a file apart from the record so that a record can be looked at, and
 * refused, before the library may write to it. Nothing is ever written to the lock file.
 *
 * Throws the library's busy error when another holds it.
 */
export const holdFolder = (folder: string): (() => void) => {
  const lock = new Database(join(folder, "record.lock"));
  try {
    lock.exec("PRAGMA journal_mode = MEMORY");
    lock.exec("BEGIN EXCLUSIVE");
  } catch (error) {
    lock.close();
    throw error;
  }
  return () => {
    lock.close();
  };
};
