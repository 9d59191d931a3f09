// Says which packages are missing, and installs them. It must run before anything is installed,
// so it imports nothing but Node.
import { spawnSync } from "node:child_process";
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";

/**
 * What a lock file says of one package.
 * @typedef {{
 *   version?: string, name?: string, link?: boolean, dev?: boolean, devOptional?: boolean,
 *   optional?: boolean, os?: string[], cpu?: string[], libc?: string[],
 * }} LockedPackage
 * @typedef {{ packages?: Record<string, LockedPackage> }} Lock
 * @typedef {{ os: string, cpu: string, libc: string | undefined }} System
 */

const oldestNode = [20, 19];

/**
 * One sentence if this Node is too old, nothing if it will do.
 * @param {string} version as in process.versions.node
 */
export function nodeTooOld(version) {
  const [major = 0, minor = 0] = version.split(".").map(Number);
  const [oldMajor = 0, oldMinor = 0] = oldestNode;
  if (major > oldMajor || (major === oldMajor && minor >= oldMinor)) return undefined;
  return `Pourside needs Node.js ${oldestNode.join(".")} or newer, and this is ${version}: please install a newer one.`;
}

/**
 * The folders of the packages that the lock file asks for and that are not there as asked.
 *
 * A package that only tests need counts when `dev` is wished. An optional one counts where its
 * os, cpu and libc fit, because it carries the program for this system; one that names neither os
 * nor cpu comes along with another that may not fit here, so it may be absent.
 *
 * @param {Lock} lock package-lock.json
 * @param {Lock} installed node_modules/.package-lock.json, npm's own account of what it laid down
 * @param {{ dev: boolean, system: System, exists: (folder: string) => boolean }} options
 * @returns {string[]}
 */
export function missingPackages(lock, installed, { dev, system, exists }) {
  return Object.entries(lock.packages ?? {})
    .filter(([folder, wanted]) => {
      if (folder === "" || wanted.link) return false;
      if (!dev && (wanted.dev || wanted.devOptional)) return false;
      if (!fits(wanted, system)) return false;
      const found = installed.packages?.[folder];
      if (!found || !exists(folder)) return !(wanted.optional && !wanted.os && !wanted.cpu);
      return found.version !== wanted.version || found.name !== wanted.name;
    })
    .map(([folder]) => folder);
}

/**
 * @param {LockedPackage} wanted
 * @param {System} system
 */
function fits(wanted, system) {
  if (!wanted.optional) return true;
  return (
    allows(wanted.os, system.os) &&
    allows(wanted.cpu, system.cpu) &&
    (system.libc === undefined || allows(wanted.libc, system.libc))
  );
}

/**
 * @param {string[] | undefined} list names, or names to be left out with "!" before them
 * @param {string} name
 */
function allows(list, name) {
  if (!list || list.length === 0) return true;
  if (list.includes(`!${name}`)) return false;
  return list.includes(name) || list.every((entry) => entry.startsWith("!"));
}

/**
 * Installs what is missing from the lock file, and does nothing if all is there. Ends the process
 * with one sentence if it cannot.
 *
 * @param {string} root the project's folder
 * @param {{ dev: boolean }} options whether the tests' packages, real browsers included, are wished
 */
export function ensureInstalled(root, { dev }) {
  const tooOld = nodeTooOld(process.versions.node);
  if (tooOld) stop(tooOld);
  const lockFile = join(root, "package-lock.json");
  if (!existsSync(lockFile)) {
    stop(
      "package-lock.json is missing, so nothing says what to install: please fetch Pourside anew.",
    );
  }
  const missing = missingPackages(
    readLock(lockFile),
    readLock(join(root, "node_modules", ".package-lock.json")),
    { dev, system: thisSystem(), exists: (folder) => existsSync(join(root, folder)) },
  );
  if (missing.length === 0) return;

  const names = missing.slice(0, 3).map((folder) => folder.replace(/^.*node_modules\//, ""));
  const more = missing.length > names.length ? " and others" : "";
  console.log(
    `Installing what is missing from the lock file (${missing.length} packages: ${names.join(", ")}${more}) ...`,
  );
  // No package that Pourside uses needs an install script, and none is allowed to run one.
  const failed = npm(root, [
    "ci",
    dev ? "--include=dev" : "--omit=dev",
    "--ignore-scripts",
    "--no-audit",
    "--no-fund",
    "--loglevel=error",
  ]);
  if (failed) {
    stop(`Installing failed (${failed}): please see npm's words above, and check the network.`);
  }
}

/**
 * @param {string} root
 * @param {string[]} args
 * @returns {string | undefined} why it failed
 */
function npm(root, args) {
  const options = /** @type {const} */ ({ cwd: root, stdio: "inherit" });
  const script = process.env.npm_execpath;
  const { status, error } =
    script && /\.c?js$/.test(script)
      ? spawnSync(process.execPath, [script, ...args], options)
      : spawnSync("npm", args, { ...options, shell: process.platform === "win32" });
  if (error) return error.message;
  return status === 0 ? undefined : `npm ended with ${status}`;
}

/** @param {string} file @returns {Lock} */
function readLock(file) {
  try {
    return JSON.parse(readFileSync(file, "utf8"));
  } catch {
    return {};
  }
}

/** @returns {System} */
function thisSystem() {
  return { os: process.platform, cpu: process.arch, libc: libcOfThisNode() };
}

function libcOfThisNode() {
  if (process.platform !== "linux" || !process.report) return undefined;
  Object.assign(process.report, { excludeNetwork: true });
  const report = /** @type {{ header?: { glibcVersionRuntime?: string } }} */ (
    process.report.getReport()
  );
  return report.header?.glibcVersionRuntime ? "glibc" : "musl";
}

/** @param {string} sentence @returns {never} */
function stop(sentence) {
  console.error(sentence);
  process.exit(1);
}
