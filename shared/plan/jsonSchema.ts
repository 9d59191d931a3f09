import * as z from "zod";
import { FILE_SCHEMAS, type FileKind } from "./file.ts";

const TITLES: Readonly<Record<FileKind, string>> = {
  shelf: "Pourside shelf",
  plan: "Pourside plan",
  session: "Pourside session",
};

/** The JSON Schema (2020-12) of a kind of file. The committed one is held against it by a test. */
export function jsonSchemaOf(kind: FileKind): Record<string, unknown> {
  const schema = z.toJSONSchema(FILE_SCHEMAS[kind], { target: "draft-2020-12" });
  return { title: TITLES[kind], ...schema };
}
