import { isAbsolute, join, resolve } from "node:path";
import { parseArgs } from "node:util";
import type { Refusal } from "../shared/dye/refusal.ts";
import { refuse, refused } from "../shared/dye/refusal.ts";
import { relayAddressOf } from "./relay/access.ts";

export type Settings = {
  /** 0 takes any free port. */
  port: number;
  host: string;
  /** Folder of the record. */
  data: string;
  /** Names, besides the machine's own, under which pages are asked for. */
  names?: readonly string[];
  /** The relay that this bench dials, and the key it is known by there. */
  relay?: { address: string; key: string };
  /** Set where the program is itself a relay. */
  role?: RelayRole;
};

/** What a relay is started with besides. */
export type RelayRole = {
  kind: "relay";
  /** A key chosen by whoever starts it. */
  key?: string;
  /** A new key instead of the one in force. */
  freshKey: boolean;
  /** Address of the Redis that the relay's processes share. */
  redis?: string;
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
  let flags: {
    port?: string;
    host?: string;
    data?: string;
    name?: string[];
    role?: string;
    relay?: string;
    "relay-key"?: string;
    "new-relay-key"?: boolean;
    redis?: string;
  };
  try {
    flags = parseArgs({
      args: [...argv],
      options: {
        port: { type: "string" },
        host: { type: "string" },
        data: { type: "string" },
        name: { type: "string", multiple: true },
        role: { type: "string" },
        relay: { type: "string" },
        "relay-key": { type: "string" },
        "new-relay-key": { type: "boolean" },
        redis: { type: "string" },
      },
    }).values;
  } catch {
    return refuse(
      "flags",
      "Pourside knows the flags --port, --host, --data, --name, --role, --relay, --relay-key and --redis, each with a value after it, and --new-relay-key.",
    );
  }
  // A variable that is set to nothing says nothing.
  const port = flags.port ?? (env.PORT || String(defaultPort));
  if (!/^\d{1,5}$/.test(port) || Number(port) > 65_535) {
    return refuse("port", `The port is a number from 0 to 65535, not "${port}".`);
  }
  const data = flags.data ?? (env.POURSIDE_DATA || "data");
  const beyond = beyondOf({
    role: flags.role ?? (env.POURSIDE_ROLE || "bench"),
    relay: flags.relay ?? env.POURSIDE_RELAY ?? "",
    key: flags["relay-key"] ?? env.POURSIDE_RELAY_KEY ?? "",
    redis: flags.redis ?? env.POURSIDE_REDIS ?? "",
    freshKey: flags["new-relay-key"] ?? false,
  });
  if (refused(beyond)) return beyond;
  const names = flags.name ?? (env.POURSIDE_NAMES ?? "").split(",");
  return {
    port: Number(port),
    host: flags.host ?? (env.HOST || "0.0.0.0"),
    data: isAbsolute(data) ? data : resolve(join(home, data)),
    names: names.map((name) => name.trim().toLowerCase()).filter((name) => name !== ""),
    ...beyond,
  };
}

type Said = { role: string; relay: string; key: string; redis: string; freshKey: boolean };

/** What is said of the relay: that this is one, or which one is dialled. */
function beyondOf(said: Said): Pick<Settings, "relay" | "role"> | Refusal {
  const { role, relay, key, redis, freshKey } = said;
  if (key !== "" && !/^\S{16,200}$/.test(key)) {
    return refuse("relayKey", "A relay key has 16 to 200 letters and digits, without spaces.");
  }
  if (role === "relay") {
    if (relay !== "") {
      return refuse("role", "A relay dials no other relay: leave --relay to the bench.");
    }
    if (redis !== "" && !/^rediss?:\/\//.test(redis)) {
      return refuse("redis", "Give Redis by its address, such as redis://127.0.0.1:6379.");
    }
    return {
      role: {
        kind: "relay",
        freshKey,
        ...(key === "" ? {} : { key }),
        ...(redis === "" ? {} : { redis }),
      },
    };
  }
  if (role !== "bench") return refuse("role", `The role is bench or relay, not "${role}".`);
  if (redis !== "" || freshKey) {
    return refuse("role", "--redis and --new-relay-key are for a relay: add --role relay.");
  }
  if (relay === "") return {};
  const address = relayAddressOf(relay);
  if (refused(address)) return address;
  if (key === "") return refuse("relayKey", "A relay is dialled with its key: add --relay-key.");
  return { relay: { address, key } };
}
