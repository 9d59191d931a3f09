import { isAbsolute, join, resolve } from "node:path";
import { parseArgs } from "node:util";
import type { Refusal } from "../shared/dye/refusal.ts";
import { refuse, refused } from "../shared/dye/refusal.ts";
import { relayAddressOf } from "./relay/access.ts";
import { keyPattern } from "./relay/limits.ts";
import { trustedProxies } from "./relay/viewerAddress.ts";

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
  /** Proxies on other hosts that say for whom they ask, each an address or a range. */
  proxies?: readonly string[];
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
    proxy?: string[];
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
        proxy: { type: "string", multiple: true },
      },
    }).values;
  } catch {
    return refuse(
      "flags",
      "Pourside knows the flags --port, --host, --data, --name, --role, --relay, --relay-key, --redis and --proxy, each with a value after it, and --new-relay-key.",
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
    proxies: listOf(flags.proxy ?? (env.POURSIDE_PROXY ?? "").split(",")),
  });
  if (refused(beyond)) return beyond;
  const names = flags.name ?? (env.POURSIDE_NAMES ?? "").split(",");
  return {
    port: Number(port),
    host: flags.host ?? (env.HOST || "0.0.0.0"),
    data: isAbsolute(data) ? data : resolve(join(home, data)),
    names: listOf(names).map((name) => name.toLowerCase()),
    ...beyond,
  };
}

function listOf(said: readonly string[]): string[] {
  return said.map((one) => one.trim()).filter((one) => one !== "");
}

type Said = {
  role: string;
  relay: string;
  key: string;
  redis: string;
  freshKey: boolean;
  proxies: readonly string[];
};

/** What is said of the relay: that this is one, or which one is dialled. */
function beyondOf(said: Said): Pick<Settings, "relay" | "role"> | Refusal {
  const { role, relay, key, redis, freshKey, proxies } = said;
  if (key !== "" && !keyPattern.test(key)) {
    return refuse(
      "relayKey",
      "A relay key has 16 to 200 plain letters, digits and signs, without spaces.",
    );
  }
  if (role === "relay") {
    if (relay !== "") {
      return refuse("role", "A relay dials no other relay: leave --relay to the bench.");
    }
    if (redis !== "" && !/^rediss?:\/\//.test(redis)) {
      return refuse("redis", "Give Redis by its address, such as redis://127.0.0.1:6379.");
    }
    if (!trustedProxies(proxies)) {
      return refuse(
        "proxy",
        "Name a proxy by its address, such as 192.0.2.7, or a range such as 192.0.2.0/24.",
      );
    }
    return {
      role: {
        kind: "relay",
        freshKey,
        ...(key === "" ? {} : { key }),
        ...(redis === "" ? {} : { redis }),
        ...(proxies.length === 0 ? {} : { proxies }),
      },
    };
  }
  if (role !== "bench") return refuse("role", `The role is bench or relay, not "${role}".`);
  if (redis !== "" || freshKey || proxies.length > 0) {
    return refuse(
      "role",
      "--redis, --proxy and --new-relay-key are for a relay: add --role relay.",
    );
  }
  if (relay === "") return {};
  const address = relayAddressOf(relay);
  if (refused(address)) return address;
  if (key === "")
    return refuse("relayKey", "A relay is dialled with its key: set POURSIDE_RELAY_KEY to it.");
  return { relay: { address, key } };
}
