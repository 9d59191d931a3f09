import { describe, expect, it } from "vitest";
import { defaultPort, readSettings } from "../../server/settings.ts";

const home = "/srv/pourside";
const read = (argv: readonly string[], env: Record<string, string> = {}) =>
  readSettings(argv, env, home);

describe("settings", () => {
  it("are usual ones where nothing is said", () => {
    const usual = { port: defaultPort, host: "0.0.0.0", data: `${home}/data`, names: [] };
    expect(defaultPort).toBe(4707);
    expect(read([])).toEqual(usual);
    // What a shell sets to nothing is not said either.
    expect(read([], { PORT: "", HOST: "", POURSIDE_DATA: "", POURSIDE_NAMES: "" })).toEqual(usual);
  });

  it("are taken from flags first, then from the environment", () => {
    const env = {
      PORT: "1234",
      HOST: "127.0.0.1",
      POURSIDE_DATA: "/a",
      POURSIDE_NAMES: "One, two",
    };
    expect(read([], env)).toEqual({
      port: 1234,
      host: "127.0.0.1",
      data: "/a",
      names: ["one", "two"],
    });
    const flags = ["--port", "0", "--host=::1", "--data", "b/c", "--name", "Three", "--name=four"];
    expect(read(flags, env)).toEqual({
      port: 0,
      host: "::1",
      data: `${home}/b/c`,
      names: ["three", "four"],
    });
    expect(read(["--data", "/b"], env)).toMatchObject({ port: 1234, data: "/b" });
  });

  it("that are unknown, lack their value or stand alone are refused with a sentence", () => {
    for (const argv of [["--prot", "1"], ["--port"], ["4707"], ["--help"], ["-p", "1"], ["--"]]) {
      const settings = read(argv);
      if (argv[0] === "--") expect(settings).toMatchObject({ port: defaultPort });
      else expect(settings).toEqual({ code: "flags", say: expect.stringMatching(/^Pour.*[.]$/) });
    }
  });

  it("with a port that is none are refused with a sentence that names it", () => {
    for (const port of ["abc", "65536", "123456", "-1", "1.5", "0x10", "4707 ", "\u0664"]) {
      for (const settings of [read([`--port=${port}`]), read([], { PORT: port })]) {
        expect(settings).toEqual({
          code: "port",
          say: `The port is a number from 0 to 65535, not "${port}".`,
        });
      }
    }
    expect(read(["--port", "65535"])).toMatchObject({ port: 65_535 });
  });
});
