import { describe, expect, it } from "vitest";
import { readSettings } from "../../server/settings.ts";

const key = "a-key-of-sixteen-letters";
const read = (argv: string[], env: Record<string, string> = {}) => readSettings(argv, env, "/home");

describe("what a start says of the relay", () => {
  it("makes a relay by flag or environment, with its key and its Redis", () => {
    expect(read(["--role", "relay"])).toMatchObject({ role: { kind: "relay", freshKey: false } });
    const words = {
      POURSIDE_ROLE: "relay",
      POURSIDE_RELAY_KEY: key,
      POURSIDE_REDIS: "redis://a:1",
    };
    expect(read([], words)).toMatchObject({ role: { kind: "relay", key, redis: "redis://a:1" } });
    expect(read(["--role", "relay", "--new-relay-key"])).toMatchObject({
      role: { freshKey: true },
    });
    const proxies = ["192.0.2.7", "2001:db8::/48"];
    const flags = proxies.flatMap((proxy) => ["--proxy", proxy]);
    expect(read(["--role", "relay", ...flags])).toMatchObject({ role: { proxies } });
    expect(read(["--role", "relay"], { POURSIDE_PROXY: "192.0.2.7, 2001:db8::/48" })).toMatchObject(
      { role: { proxies } },
    );
  });

  it("makes a bench that dials, over TLS unless plain http is written", () => {
    const dialled = (relay: string) => read(["--relay", relay, "--relay-key", key]);
    expect(dialled("pours.example")).toMatchObject({
      relay: { address: "https://pours.example", key },
    });
    expect(dialled("https://pours.example/follow")).toMatchObject({
      relay: { address: "https://pours.example" },
    });
    expect(dialled("http://10.0.0.2:4707/")).toMatchObject({
      relay: { address: "http://10.0.0.2:4707" },
    });
    for (const near of [
      "127.0.0.1",
      "localhost",
      "172.31.0.1",
      "192.168.1.2",
      "[::1]",
      "[fd12::1]",
    ]) {
      expect(dialled(`http://${near}:4707`)).toMatchObject({
        relay: { address: `http://${near}:4707` },
      });
    }
    expect(read([])).not.toHaveProperty("relay");
  });

  it("is refused in a sentence where it does not go together", () => {
    const wrong: [string, string[]][] = [
      ["role", ["--role", "mirror"]],
      ["role", ["--role", "relay", "--relay", "pours.example"]],
      ["role", ["--redis", "redis://127.0.0.1"]],
      ["role", ["--new-relay-key"]],
      ["redis", ["--role", "relay", "--redis", "127.0.0.1"]],
      ["relayKey", ["--role", "relay", "--relay-key", "short"]],
      ["relayKey", ["--relay", "pours.example"]],
      ["relayKey", ["--relay", "pours.example", "--relay-key", `${key}\u2026`]],
      ["relayKey", ["--role", "relay", "--relay-key", `${key}\u200b`]],
      ["role", ["--proxy", "192.0.2.7"]],
      ["proxy", ["--role", "relay", "--proxy", "proxy.example"]],
      ["proxy", ["--role", "relay", "--proxy", "192.0.2.0/33"]],
      ["address", ["--relay", "http://pours.example", "--relay-key", key]],
      ["address", ["--relay", "http://203.0.113.9:4707", "--relay-key", key]],
      ["address", ["--relay", "http://172.32.0.1", "--relay-key", key]],
      ["address", ["--relay", "http://[2001:db8::1]", "--relay-key", key]],
      ["address", ["--relay", "ftp://pours.example", "--relay-key", key]],
    ];
    for (const [code, argv] of wrong) {
      const answer = read(argv);
      expect([argv, answer]).toEqual([argv, expect.objectContaining({ code })]);
      expect("say" in answer && answer.say).toMatch(/^.+\.$/);
    }
  });
});
