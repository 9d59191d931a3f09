// Builds the server and the pages into dist/. Whether that is needed is found out without esbuild,
// which takes longer to load than the whole answer.
import { createHash } from "node:crypto";
import {
  chmodSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
} from "node:fs";
import { mkdir, readFile, writeFile } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

/** The project's folder. */
export const root = fileURLToPath(new URL("..", import.meta.url));

/** Where the built server is. */
export const serverFile = join("dist", "server", "main.js");

/**
 * @typedef {object} Page
 * @property {string} name
 * @property {string} folder
 * @property {string[]} target
 * @property {Record<string, string>} [workers] scripts that run beside it, by the name under which
 *   it knows their address
 */

// Tablets and phones come with Safari 15.4 or newer; broadcasters embed Chromium from 103 on.
/** @type {Page[]} */
const pages = [
  { name: "overlay", folder: "overlay/broadcast", target: ["chrome103"] },
  { name: "follow", folder: "overlay/follow", target: ["chrome103", "safari15.4"] },
  {
    name: "controller",
    folder: "controller",
    target: ["chrome103", "safari15.4"],
    workers: {
      COLOUR_WORKER: "controller/colour/worker.ts",
      PICTURE_WORKER: "controller/picture/worker.ts",
    },
  },
];

/**
 * The live connection is a WebSocket, or requests where that is refused; a third way that neither
 * the server nor any page asks for is left out of the pages.
 * @type {import("esbuild").Plugin}
 */
const withoutWebTransport = {
  name: "without-web-transport",
  setup({ onLoad }) {
    onLoad({ filter: /engine\.io-client[\\/].*[\\/]webtransport\.js$/ }, () => ({
      contents: "export class WT {}",
    }));
  },
};

const sources = ["server", "overlay", "controller", "shared"];
const settings = ["package-lock.json", "tsconfig.json", "tools/build.mjs"];

/**
 * A digest of all that the build depends on, by content.
 * @param {string} folder the project's folder
 */
export function sourceStamp(folder) {
  const hash = createHash("sha256");
  const files = sources.flatMap((source) =>
    readdirSync(join(folder, source), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => join(entry.parentPath, entry.name)),
  );
  for (const file of [...files.sort(), ...settings.map((name) => join(folder, name))]) {
    const content = readFileSync(file);
    hash.update(`${file.slice(folder.length)}\0${content.length}\0`).update(content);
  }
  return hash.digest("hex");
}

/**
 * Whether dist/ was not built from what is there now.
 * @param {string} folder the project's folder
 */
export function isStale(folder) {
  const stampFile = join(folder, "dist", "stamp");
  return !existsSync(stampFile) || readFileSync(stampFile, "utf8") !== sourceStamp(folder);
}

/**
 * Builds dist/ if it is stale, and says so.
 * @param {string} [folder] the project's folder
 */
export async function buildIfStale(folder = root) {
  if (!isStale(folder)) return;
  const start = performance.now();
  console.log("Building what has changed ...");
  await build(folder);
  console.log(`Built in ${((performance.now() - start) / 1000).toFixed(1)} s.`);
}

/**
 * Builds the server and the pages. All is made in a folder of its own that then takes the place of
 * dist/, so that a failed build, or two at once, leave a whole one behind.
 *
 * @param {string} [folder] the project's folder
 */
export async function build(folder = root) {
  const stamp = sourceStamp(folder);
  const made = mkdtempSync(join(folder, "dist.new-"));
  try {
    const parts = [
      buildServer(folder, made),
      buildFollow(folder, made),
      ...pages.map((page) => buildPage(folder, made, page)),
    ];
    // All are awaited, so that none still writes when a failed build is cleared away.
    for (const part of await Promise.allSettled(parts)) {
      if (part.status === "rejected") throw part.reason;
    }
    await writeFile(join(made, "stamp"), stamp);
    // A temporary folder is its maker's alone; a built server may be run by another user.
    chmodSync(made, 0o755);
    takePlace(made, join(folder, "dist"));
  } finally {
    rmSync(made, { recursive: true, force: true });
  }
}

/** @param {string} folder @param {string} made */
async function buildServer(folder, made) {
  const esbuild = await import("esbuild");
  await esbuild.build({
    absWorkingDir: folder,
    entryPoints: { main: "server/main.ts", recap: "server/recap/main.ts" },
    outdir: join(made, "server"),
    bundle: true,
    platform: "node",
    format: "esm",
    target: "node20.19",
    packages: "external",
    sourcemap: true,
    logLevel: "warning",
  });
}

/**
 * The follow page once more: as the server draws it, and as it is written whole into one file.
 * @param {string} folder @param {string} made
 */
async function buildFollow(folder, made) {
  const esbuild = await import("esbuild");
  /** @type {import("esbuild").BuildOptions} */
  const shared = {
    absWorkingDir: folder,
    outdir: join(made, "follow"),
    bundle: true,
    minify: true,
    jsx: "automatic",
    jsxImportSource: "preact",
    define: { "process.env.NODE_ENV": '"production"' },
    logLevel: "warning",
  };
  await Promise.all([
    esbuild.build({
      ...shared,
      entryPoints: { drawn: "overlay/follow/drawn.tsx" },
      outExtension: { ".js": ".cjs" },
      platform: "node",
      format: "cjs",
      target: "node20.19",
    }),
    esbuild.build({
      ...shared,
      entryPoints: { file: "overlay/follow/file.tsx" },
      platform: "browser",
      format: "iife",
      target: ["chrome103", "safari15.4"],
      loader: { ".woff2": "dataurl" },
    }),
  ]);
}

/**
 * @param {string} folder
 * @param {string} made
 * @param {Page} page
 */
async function buildPage(folder, made, page) {
  const esbuild = await import("esbuild");
  const outdir = join(made, "pages", page.name);
  const workers = await Promise.all(
    Object.entries(page.workers ?? {}).map(async ([name, entry]) => [
      name,
      JSON.stringify(await buildWorker(folder, outdir, page, entry)),
    ]),
  );
  const entry = `${page.folder}/main.tsx`;
  const { metafile } = await esbuild.build({
    absWorkingDir: folder,
    entryPoints: { [page.name]: entry },
    outdir,
    entryNames: "[name]-[hash]",
    assetNames: "[name]-[hash]",
    // A page is served as /NAME, without a slash at its end, so its files need their whole path.
    publicPath: `/${page.name}`,
    bundle: true,
    platform: "browser",
    format: "esm",
    target: page.target,
    minify: true,
    jsx: "automatic",
    jsxImportSource: "preact",
    define: { "process.env.NODE_ENV": '"production"', ...Object.fromEntries(workers) },
    loader: { ".woff2": "file", ".svg": "file" },
    plugins: [withoutWebTransport],
    splitting: true,
    chunkNames: "[name]-[hash]",
    metafile: true,
    logLevel: "warning",
  });
  const main = Object.entries(metafile.outputs).find(([, output]) => output.entryPoint === entry);
  if (!main) throw new Error(`The build made no script for ${entry}.`);
  const [script, { cssBundle, imports }] = main;
  const modules = imports.flatMap(({ kind, path }) => (kind === "import-statement" ? [path] : []));
  const template = await readFile(join(folder, page.folder, "index.html"), "utf8");
  await mkdir(outdir, { recursive: true });
  await writeFile(
    join(outdir, "index.html"),
    withAssets(template, {
      script: `/${page.name}/${basename(script)}`,
      style: cssBundle && `/${page.name}/${basename(cssBundle)}`,
      modules: modules.map((path) => `/${page.name}/${basename(path)}`),
    }),
  );
}

/**
 * What works beside a page, as one classic script, which every browser of the page can start.
 * @param {string} folder @param {string} outdir @param {Page} page @param {string} entry
 * @returns {Promise<string>} the script's address
 */
async function buildWorker(folder, outdir, page, entry) {
  const esbuild = await import("esbuild");
  const { metafile } = await esbuild.build({
    absWorkingDir: folder,
    entryPoints: { [basename(dirname(entry))]: entry },
    outdir,
    entryNames: "[name]-[hash]",
    bundle: true,
    platform: "browser",
    format: "iife",
    target: page.target,
    minify: true,
    metafile: true,
    logLevel: "warning",
  });
  const script = Object.keys(metafile.outputs)[0];
  if (!script) throw new Error(`The build made no script for ${entry}.`);
  return `/${page.name}/${basename(script)}`;
}

/**
 * Puts a page's script and style into its template, at the end of the head.
 * @param {string} template
 * @param {{ script: string, style: string | undefined, modules?: string[] }} assets `modules` are
 *   what the script imports, asked for beside it
 */
export function withAssets(template, { script, style, modules = [] }) {
  if (!template.includes("</head>")) throw new Error("The page's template has no </head>.");
  const tags = [
    ...(style ? [`<link rel="stylesheet" href="${style}" />`] : []),
    ...modules.map((module) => `<link rel="modulepreload" href="${module}" />`),
    `<script type="module" src="${script}"></script>`,
  ];
  return template.replace("</head>", `${tags.map((tag) => `  ${tag}\n  `).join("")}</head>`);
}

/**
 * Renames a folder to another's name, also while another process does the same.
 * @param {string} made
 * @param {string} place
 */
function takePlace(made, place) {
  const old = `${made}-old`;
  for (let tries = 5; ; tries--) {
    try {
      if (existsSync(place)) renameSync(place, old);
    } catch (error) {
      if (tries === 0) throw error;
    }
    try {
      renameSync(made, place);
      break;
    } catch (error) {
      // Another build came between the two renames.
      if (tries === 0) throw error;
      rmSync(old, { recursive: true, force: true });
    }
  }
  rmSync(old, { recursive: true, force: true });
}
