import { randomUUID } from "node:crypto";
import { chmodSync, existsSync, readFileSync, rmSync } from "node:fs";
import { BlockList, isIP, isIPv6 } from "node:net";
import { join } from "node:path";
import * as z from "zod";
import { type Refusal, refuse } from "../../shared/dye/refusal.ts";
import { keyPattern } from "./limits.ts";
import { writeOwnerOnly } from "./ownerOnly.ts";

/** Where the relay is, and the key it knows the bench by; `bench` tells one bench from another. */
export type RelayAccess = { address: string; key: string; bench: string };

const accessSchema = z.object({
  address: z
    .string()
    .max(300)
    .refine((address) => relayAddressOf(address) === address),
  key: z.string().regex(keyPattern),
  bench: z.string().max(60),
});

/** Keeps them beside the record in a file for its owner alone, so that no copy of the record has them. */
export class RelayAccessFile {
  private readonly file: string;

  constructor(folder: string) {
    this.file = join(folder, "relay.json");
  }

  /** What is kept, `null` where nothing is, or that it cannot be used. */
  read(): RelayAccess | null | "unreadable" {
    if (!existsSync(this.file)) return null;
    try {
      chmodSync(this.file, 0o600);
      return accessSchema.parse(JSON.parse(readFileSync(this.file, "utf8")));
    } catch {
      return "unreadable";
    }
  }

  keep(access: RelayAccess): void {
    writeOwnerOnly(this.file, access);
  }

  forget(): void {
    rmSync(this.file, { force: true });
    rmSync(`${this.file}.new`, { force: true });
  }
}

export function newBench(): string {
  return randomUUID();
}

/**
 * "pours.example" or "https://pours.example" as the address of a relay, without a slash at its end.
 * Without TLS the key goes in plain text, so http is for this machine and private networks alone.
 */
export function relayAddressOf(typed: string): string | Refusal {
  const text = typed.trim().replace(/\/(follow)?\/?$/, "");
  const say = "This is no address of a relay. Write its name, such as pours.example.";
  try {
    const url = new URL(/^[a-z]+:\/\//i.test(text) ? text : `https://${text}`);
    const plain = url.pathname === "/" && url.search === "" && url.hash === "";
    const secret = url.username !== "" || url.password !== "";
    if (!["http:", "https:"].includes(url.protocol) || !plain || secret) {
      return refuse("address", say);
    }
    if (url.protocol === "http:" && !isPrivate(url.hostname)) {
      return refuse(
        "address",
        "Over http others on the way could read the key. Write https, or a private address of your own network.",
      );
    }
    return url.origin;
  } catch {
    return refuse("address", say);
  }
}

const privateNetworks = new BlockList();
// RFC 1122 (loopback), RFC 1918 (private) and RFC 3927 (link-local); RFC 4291 and 4193 for IPv6.
privateNetworks.addSubnet("127.0.0.0", 8);
privateNetworks.addSubnet("10.0.0.0", 8);
privateNetworks.addSubnet("172.16.0.0", 12);
privateNetworks.addSubnet("192.168.0.0", 16);
privateNetworks.addSubnet("169.254.0.0", 16);
privateNetworks.addAddress("::1", "ipv6");
privateNetworks.addSubnet("fc00::", 7, "ipv6");
privateNetworks.addSubnet("fe80::", 10, "ipv6");

/** Whether a host, as a URL has it, is this machine or an address of a private network. */
function isPrivate(host: string): boolean {
  const address = host.replace(/^\[|\]$/g, "");
  if (isIP(address) === 0) return address === "localhost";
  return privateNetworks.check(address, isIPv6(address) ? "ipv6" : "ipv4");
}
