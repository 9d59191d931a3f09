import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { build, isStale, root, withAssets } from "../../tools/build.mjs";

const template = `<!doctype html>
<html lang="en">
  <head>
    <title>bench</title>
  </head>
  <body></body>
</html>
`;

// A small project with the same entries as the real one.
let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "pourside-build-"));
  for (const file of ["package.json", "package-lock.json", "tsconfig.json", "tools"]) {
    cpSync(join(root, file), join(folder, file), { recursive: true });
  }
  symlinkSync(join(root, "node_modules"), join(folder, "node_modules"), "junction");
  write("shared/dye.ts", 'export const dye: string = "Saltmarsh";\n');
  write("server/main.ts", 'import { dye } from "../shared/dye.ts";\nexport const served = dye;\n');
  write("server/recap/main.ts", "export const recap = true;\n");
  write("overlay/follow/drawn.tsx", "export const drawPage = () => <p>wool</p>;\n");
  write("overlay/follow/file.tsx", 'import "./style.css";\ndocument.body.append("wool");\n');
  for (const beside of ["colour", "picture"]) {
    write(`controller/${beside}/worker.ts`, `postMessage("${beside}");\n`);
  }
  for (const page of ["overlay/broadcast", "overlay/follow", "controller"]) {
    write(
      `${page}/main.tsx`,
      'import "./style.css";\ndocument.body.append(String(<p>wool</p>));\n',
    );
    write(`${page}/style.css`, "p { color: #1d2125; }\n");
    write(`${page}/index.html`, template);
  }
});

afterEach(() => {
  rmSync(folder, { recursive: true });
});

function write(file: string, content: string): void {
  mkdirSync(join(folder, file, ".."), { recursive: true });
  writeFileSync(join(folder, file), content);
}

const read = (file: string) => readFileSync(join(folder, file), "utf8");

describe("a build", () => {
  test("makes the server, and each page with the names of its script and style", async () => {
    await build(folder);
    const { served } = await import(join(folder, "dist/server/main.js"));
    expect(served).toBe("Saltmarsh");
    for (const page of ["overlay", "follow", "controller"]) {
      const html = read(`dist/pages/${page}/index.html`);
      const [, script] = /<script type="module" src="\/([^"]+\.js)"><\/script>/.exec(html) ?? [];
      const [, style] = /<link rel="stylesheet" href="\/([^"]+\.css)" \/>/.exec(html) ?? [];
      expect(script).toMatch(new RegExp(`^${page}/${page}-[A-Z0-9]{8}\\.js$`));
      expect(read(`dist/pages/${script}`)).toContain("wool");
      expect(read(`dist/pages/${style}`)).toContain("#1d2125");
    }
  });

  test("makes what works beside a page, and tells the page where it is", async () => {
    const main = "declare const PICTURE_WORKER: string;\nnew Worker(PICTURE_WORKER);\n";
    write("controller/main.tsx", main);
    await build(folder);
    const files = readdirSync(join(folder, "dist/pages/controller"));
    const worker = files.find((file) => /^picture-[A-Z0-9]{8}\.js$/.test(file));
    const script = files.find((file) => /^controller-[A-Z0-9]{8}\.js$/.test(file));
    expect(read(`dist/pages/controller/${worker}`)).toContain("picture");
    expect(read(`dist/pages/controller/${script}`)).toContain(`/controller/${worker}`);
  });

  test("makes the follow page for the server to draw, and as one file", async () => {
    await build(folder);
    const drawn = createRequire(import.meta.url)(join(folder, "dist/follow/drawn.cjs"));
    expect(drawn.drawPage()).toMatchObject({ type: "p" });
    expect(read("dist/follow/file.js")).toContain("wool");
    expect(read("dist/follow/file.css")).toContain("#1d2125");
  });

  test("names a script anew when its content changes, and not otherwise", async () => {
    const scripts = () =>
      readdirSync(join(folder, "dist/pages/overlay")).filter((f) => f.endsWith(".js"));
    await build(folder);
    const first = scripts();
    await build(folder);
    expect(scripts()).toEqual(first);
    write("overlay/broadcast/main.tsx", 'document.body.append("ink");\n');
    await build(folder);
    expect(scripts()).not.toEqual(first);
    expect(scripts()).toHaveLength(1);
  });

  test("that fails leaves the one before it, and nothing half done", async () => {
    await build(folder);
    const before = read("dist/server/main.js");
    write("server/main.ts", "export const served = (;\n");
    await expect(build(folder)).rejects.toThrow("server/main.ts");
    expect(read("dist/server/main.js")).toBe(before);
    expect(readdirSync(folder).filter((name) => name.startsWith("dist"))).toEqual(["dist"]);
  });

  test("fails when a page's entry is missing", async () => {
    rmSync(join(folder, "controller/main.tsx"));
    await expect(build(folder)).rejects.toThrow("controller/main.tsx");
  });

  test("may be made several times at once", async () => {
    await Promise.all([build(folder), build(folder), build(folder)]);
    expect(isStale(folder)).toBe(false);
    expect(readdirSync(join(folder, "dist")).sort()).toEqual([
      "follow",
      "pages",
      "server",
      "stamp",
    ]);
    expect(readdirSync(folder).filter((name) => name.startsWith("dist"))).toEqual(["dist"]);
  });
});

describe("what was built is stale", () => {
  beforeEach(() => build(folder));

  test("not right after the build, nor when a file is only touched", () => {
    expect(isStale(folder)).toBe(false);
    write("shared/dye.ts", read("shared/dye.ts"));
    expect(isStale(folder)).toBe(false);
  });

  test.each([
    ["a rule", "shared/dye.ts"],
    ["a style", "overlay/follow/style.css"],
    ["a page's template", "controller/index.html"],
    ["the lock file", "package-lock.json"],
    ["the build itself", "tools/build.mjs"],
  ])("after a change in %s", (_, file) => {
    write(file, `${read(file)} `);
    expect(isStale(folder)).toBe(true);
  });

  test("after a file came, went or changed its name", () => {
    write("shared/bath.ts", "");
    expect(isStale(folder)).toBe(true);
    rmSync(join(folder, "shared/bath.ts"));
    expect(isStale(folder)).toBe(false);
    rmSync(join(folder, "dist"), { recursive: true });
    expect(isStale(folder)).toBe(true);
  });
});

test("a template without a head is refused", () => {
  expect(() => withAssets("<p>bench</p>", { script: "a.js", style: undefined })).toThrow("</head>");
});
