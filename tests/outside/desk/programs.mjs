// The programs that are needed beside our own: Chromium, and two packages from the registry of Node's packages.
import { execFileSync } from "node:child_process";
import { accessSync, constants, existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { delimiter, dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

/** The top of the tree. */
export const ROOT = resolve(dirname(fileURLToPath(import.meta.url)), "..", "..", "..");
/** Where cargo puts what it builds. */
export const TARGET = resolve(process.env.CARGO_TARGET_DIR ?? join(ROOT, "target"));

const PLACE = join(TARGET, "desk-browser");
/** Drives a browser; tells what hinders people; writes pictures. All are general programs. */
const PACKAGES = { "playwright-core": "1.65.1", "axe-core": "4.14.1", pngjs: "7.0.0" };
/** The names that systems give Chromium and what is built from it. */
const BROWSERS = ["chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "microsoft-edge"];

/** Why nothing can be tried here; no failure. */
export class NotHere extends Error {}

function onPath(name) {
  const found = (process.env.PATH ?? "").split(delimiter).map((folder) => join(folder, name));
  return found.find((path) => {
    try {
      accessSync(path, constants.X_OK);
      return true;
    } catch {
      return false;
    }
  });
}

/** Chromium's program. */
export function browser() {
  const found = BROWSERS.map(onPath).find((path) => path !== undefined);
  if (found === undefined) throw new NotHere("there is no Chromium here");
  return found;
}

/** Whether a program is on the way; for what a journey does only where it can. */
export const has = (name) => onPath(name) !== undefined;

function installed(name) {
  const manifest = join(PLACE, "node_modules", name, "package.json");
  return existsSync(manifest) && JSON.parse(readFileSync(manifest, "utf8")).version === PACKAGES[name];
}

/** The packages; installed into the target directory on first use. */
export function packages() {
  const names = Object.keys(PACKAGES);
  if (!names.every(installed)) {
    if (!has("npm")) throw new NotHere("there is no npm here");
    mkdirSync(PLACE, { recursive: true });
    writeFileSync(join(PLACE, "package.json"), '{"private": true, "type": "module"}\n');
    const wanted = names.map((name) => `${name}@${PACKAGES[name]}`);
    const install = ["install", "--silent", "--no-audit", "--no-fund", "--no-package-lock", "--ignore-scripts", ...wanted];
    try {
      execFileSync("npm", install, { cwd: PLACE, timeout: 120_000, stdio: "ignore" });
    } catch {
      throw new NotHere("the packages that drive a browser cannot be installed");
    }
  }
  const require = createRequire(join(PLACE, "package.json"));
  return {
    chromium: require("playwright-core").chromium,
    axe: require("axe-core").source,
    PNG: require("pngjs").PNG,
  };
}
