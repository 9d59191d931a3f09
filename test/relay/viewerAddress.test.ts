import type { IncomingMessage } from "node:http";
import type { BlockList } from "node:net";
import { expect, it } from "vitest";
import { trustedProxies, viewerAddress } from "../../server/relay/viewerAddress.ts";

const trusted = trustedProxies(["192.0.2.7", "198.51.100.0/24", "2001:db8:5::/48"]) as BlockList;
const from = (remoteAddress: string, forwarded?: string | string[]) =>
  viewerAddress(
    {
      socket: { remoteAddress },
      headers: forwarded === undefined ? {} : { "x-forwarded-for": forwarded },
    } as IncomingMessage,
    trusted,
  );

it("counts a viewer by the last address that no trusted proxy has, and believes nobody else", () => {
  expect(from("203.0.113.9")).toBe("203.0.113.9");
  expect(from("::ffff:203.0.113.9", "203.0.113.1")).toBe("203.0.113.9");
  for (const proxy of ["127.0.0.1", "::1", "192.0.2.7", "::ffff:198.51.100.20", "2001:db8:5::1"]) {
    expect([proxy, from(proxy, "203.0.113.1, 203.0.113.9")]).toEqual([proxy, "203.0.113.9"]);
    expect([proxy, from(proxy)]).toEqual([proxy, ""]);
  }
  expect(from("127.0.0.1", "203.0.113.1, 203.0.113.9, 198.51.100.3")).toBe("203.0.113.9");
  expect(from("127.0.0.1", ["203.0.113.1", "203.0.113.9"])).toBe("203.0.113.9");
  expect(from("192.0.2.8", "203.0.113.9")).toBe("192.0.2.8");
  expect(from("127.0.0.1", `${"x".repeat(500)}`)).toHaveLength(64);
});

it("counts IPv6 by its first 64 bits, however it is written", () => {
  for (const written of [
    "2001:db8:0:7:1:2:3:4",
    "2001:db8:0:7::9",
    "2001:db8::7:0:0:0:1",
    "2001:0DB8:0000:0007:ffff:ffff:ffff:ffff",
    "2001:db8:0:7:0:0:192.0.2.1",
  ]) {
    expect([written, from(written)]).toEqual([written, "2001:db8:0:7::/64"]);
  }
  expect(from("2001:db8:0:8::9")).toBe("2001:db8:0:8::/64");
  expect(from("fe80::1%eth0")).toBe("fe80:0:0:0::/64");
  expect(from("64:ff9b::192.0.2.1")).toBe("64:ff9b:0:0::/64");
});

it("takes addresses and ranges for proxies, and nothing else", () => {
  expect(trustedProxies(["10.0.0.0/8", "fd00::/8", "::1", "192.0.2.1/32"])).not.toBeNull();
  for (const wrong of ["proxy.example", "192.0.2", "192.0.2.0/33", "::/129", "192.0.2.0/x", ""]) {
    expect([wrong, trustedProxies([wrong])]).toEqual([wrong, null]);
  }
});
