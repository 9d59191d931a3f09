import { createReadStream, createWriteStream, existsSync } from "node:fs";
import { cp, mkdir, mkdtemp, readFile, rename, rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { pipeline } from "node:stream/promises";
import { fileURLToPath } from "node:url";
import { createBrotliDecompress } from "node:zlib";
import { extract } from "tar-fs";

/** The browsers that the tests run in, by the name they are asked for. */
export type BrowserName = "103" | "127" | "current";

const modules = fileURLToPath(new URL("../../node_modules/", import.meta.url));
const cache = join(modules, ".cache", "pourside");

/** An unpacked browser and the environment in which it needs nothing of the system's. */
export interface UnpackedBrowser {
  folder: string;
  executablePath: string;
  env: { HOME: string; LD_LIBRARY_PATH: string; FONTCONFIG_FILE: string };
}

/**
 * Unpacks a packaged Chromium once and gives back where it lies.
 *
 * The packages would all unpack to one and the same temporary path, so their archives are opened
 * here, each into a folder of its own. The folder is filled under another name and then renamed,
 * so that it is either complete or not there, whoever else unpacks at the same time.
 */
export async function unpackBrowser(which: BrowserName): Promise<UnpackedBrowser> {
  const version = await packageVersion(which);
  const folder = join(cache, `chromium-${version}`);
  if (!existsSync(folder)) {
    await mkdir(cache, { recursive: true });
    const part = await mkdtemp(`${folder}-part-`);
    try {
      await fill(part, which);
      await rename(part, folder);
    } catch (error) {
      await rm(part, { recursive: true, force: true });
      if (!existsSync(folder)) throw error;
    }
  }
  return {
    folder,
    executablePath: join(folder, "chromium"),
    env: {
      HOME: join(folder, "home"),
      LD_LIBRARY_PATH: join(folder, "lib"),
      FONTCONFIG_FILE: join(folder, "fonts.conf"),
    },
  };
}

async function fill(folder: string, which: BrowserName): Promise<void> {
  const own = join(modules, `chromium-${which}`, "bin");
  // Only the newest package carries the whole set of libraries (the others leave out libnspr4),
  // and one set of fonts for all makes their pictures comparable.
  const newest = join(modules, "chromium-current", "bin");
  await Promise.all([
    pipeline(
      createReadStream(join(own, "chromium.br")),
      createBrotliDecompress(),
      createWriteStream(join(folder, "chromium"), { mode: 0o755 }),
    ),
    untar(join(newest, "al2023.tar.br"), join(folder, "libraries")),
    untar(join(newest, "fonts.tar.br"), join(folder, "typefaces")),
    mkdir(join(folder, "home")),
  ]);
  await rename(join(folder, "libraries", "lib"), join(folder, "lib"));
  await cp(join(folder, "typefaces", "fonts"), join(folder, "fonts"), { recursive: true });
  await rm(join(folder, "libraries"), { recursive: true });
  await rm(join(folder, "typefaces"), { recursive: true });
  await writeFile(
    join(folder, "fonts.conf"),
    `<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig>
  <dir prefix="relative">fonts</dir>
  <cachedir>~/fonts-cache</cachedir>
</fontconfig>
`,
  );
}

function untar(archive: string, folder: string): Promise<void> {
  return pipeline(createReadStream(archive), createBrotliDecompress(), extract(folder));
}

async function packageVersion(which: BrowserName): Promise<string> {
  const file = join(modules, `chromium-${which}`, "package.json");
  const { version } = JSON.parse(await readFile(file, "utf8")) as { version: string };
  return version;
}
