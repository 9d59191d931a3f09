import { isIPv6 } from "node:net";
import { networkInterfaces } from "node:os";

/** Where the pages are: for this machine, and for the tablets and phones on its network. */
export type Addresses = { controller: string[]; overlay: string; follow: string[] };

const everywhere = new Set(["0.0.0.0", "::"]);

export function addressesOf(host: string, port: number): Addresses {
  const here = everywhere.has(host) ? "127.0.0.1" : host;
  const around = everywhere.has(host) ? networkHosts() : [host];
  const hosts = around.length > 0 ? around : [here];
  return {
    controller: hosts.map((host) => `${base(host, port)}/controller`),
    overlay: `${base(here, port)}/overlay`,
    follow: hosts.map((host) => `${base(host, port)}/follow`),
  };
}

/** The same, with the relay's follow page first: it reaches everybody, and the others the room. */
export function beyond(addresses: Addresses, relay: string | null): Addresses {
  if (relay === null) return addresses;
  return { ...addresses, follow: [relay, ...addresses.follow] };
}

export function base(host: string, port: number): string {
  return `http://${isIPv6(host) ? `[${host}]` : host}:${port}`;
}

function networkHosts(): string[] {
  return Object.values(networkInterfaces())
    .flatMap((addresses) => addresses ?? [])
    .filter((address) => address.family === "IPv4" && !address.internal)
    .map((address) => address.address);
}
