import type { IncomingMessage } from "node:http";
import { BlockList, isIP, isIPv6 } from "node:net";

/**
 * Machines that may say for whom they ask: this one, and the proxies named.
 *
 * @param proxies each an address, or the first of a range and its bits: `192.0.2.7`, `2001:db8::/48`
 * @returns `null` where one of them is neither
 */
export function trustedProxies(proxies: readonly string[]): BlockList | null {
  const trusted = new BlockList();
  trusted.addSubnet("127.0.0.0", 8);
  trusted.addAddress("::1", "ipv6");
  for (const proxy of proxies) {
    const [, address = "", bits] = /^([^/]+)(?:\/(\d{1,3}))?$/.exec(proxy) ?? [];
    if (isIP(address) === 0) return null;
    const most = isIPv6(address) ? 128 : 32;
    if (Number(bits ?? most) > most) return null;
    trusted.addSubnet(address, Number(bits ?? most), familyOf(address));
  }
  return trusted;
}

/**
 * The address under which a viewer is counted: that of the other end or, where this is a trusted
 * proxy, the last one it passes on that is none itself. An IPv6 address counts by its first 64 bits,
 * for one household has all of those behind them. Empty where a proxy does not say for whom it asks.
 */
export function viewerAddress(request: IncomingMessage, trusted: BlockList): string {
  const forwarded = [request.headers["x-forwarded-for"] ?? []].flat().join(",").split(",");
  const way = [...forwarded, request.socket.remoteAddress ?? ""];
  for (const named of way.reverse()) {
    const address = named
      .trim()
      .slice(0, 64)
      .replace(/^::ffff:(?=\d+\.)/i, "");
    if (isIP(address) === 0) return address;
    if (!trusted.check(address, familyOf(address))) return networkOf(address);
  }
  return "";
}

function familyOf(address: string): "ipv4" | "ipv6" {
  return isIPv6(address) ? "ipv6" : "ipv4";
}

/** RFC 4291, section 2.5.4: the first 64 bits name the network, the others an interface in it. */
function networkOf(address: string): string {
  if (!isIPv6(address)) return address;
  const [left = "", right] = address.replace(/%.*$/, "").split("::");
  const groups = left === "" ? [] : left.split(":");
  if (right !== undefined) {
    const last = right === "" ? [] : right.split(":");
    // Four bytes written as in IPv4 stand for two groups.
    const places = last.length + (right.includes(".") ? 1 : 0);
    groups.push(...Array<string>(8 - groups.length - places).fill("0"), ...last);
  }
  return `${groups
    .slice(0, 4)
    .map((group) => Number.parseInt(group, 16).toString(16))
    .join(":")}::/64`;
}
