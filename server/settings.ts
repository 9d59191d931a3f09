import { isAbsolute, join, resolve } from "node:path";
import { parseArgs } from "node:util";
import type { Refusal } from "../shared/dye/refusal.ts";
import { refuse } from "../shared/dye/refusal.ts";

export type Settings = {
  /** 0 takes any free port. */
  port: number;
  host: string;
  /** Folder of the record. */
  data: string;
  /** Names, besides the machine's own, under which pages are asked for. */
  names?: readonly string[];
};

export const defaultPort = 4707;

/**
 * Settings from flags, else from the environment, else as they usually are. `home` is the folder
 * against which a relative data folder is read and in which the usual one lies.
 */
export function readSettings(
  argv: readonly string[],
  env: Readonly<Record<string, string | undefined>>,
  home: string,
): Settings | Refusal {
  let flags: { port?: string; host?: string; data?: string; name?: string[] };
  try {
    flags = parseArgs({
      args: [...argv],
      options: {
        port: { type: "string" },
        host: { type: "string" },
        data: { type: "string" },
        name: { type: "string", multiple: true },
      },
    }).values;
  } catch {
    return refuse(
      "flags",
      "Pourside knows the flags --port, --host, --data and --name, each with a value after it.",
    );
  }
  // A variable that is set to nothing says nothing.
  const port = flags.port ?? (env.PORT || String(defaultPort));
  if (!/^\d{1,5}$/.test(port) || Number(port) > 65_535) {
    return refuse("port", `The port is a number from 0 to 65535, not "${port}".`);
  }
  const data = flags.data ?? (env.POURSIDE_DATA || "data");
  const names = flags.name ?? (env.POURSIDE_NAMES ?? "").split(",");
  return {
    port: Number(port),
    host: flags.host ?? (env.HOST || "0.0.0.0"),
    data: isAbsolute(data) ? data : resolve(join(home, data)),
    names: names.map((name) => name.trim().toLowerCase()).filter((name) => name !== ""),
  };
}
