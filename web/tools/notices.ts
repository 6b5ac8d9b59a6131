/** Who wrote what is bundled from `node_modules`, and on which terms: for `bradawl about`. */

import { mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";

/** One bundled work; `text` is its license as it came, or its author's name where none came. */
interface Notice {
  name: string;
  version: string;
  license: string;
  /** The library whose package carries it. */
  within?: string;
  text: string;
}

/** Types alone, which leave nothing in what is bundled. */
const NO_CODE = /^(@types\/.*|type-fest|tagged-tag)$/;

/** What a library carries compiled within it; the license's text from a package that has the same. */
const WITHIN = [
  {
    name: "ZXing-C++",
    version: "",
    license: "Apache-2.0",
    within: "zxing-wasm",
    textOf: "typescript/LICENSE",
  },
];

interface Package {
  version: string;
  license?: string;
  author?: string | { name: string };
  dependencies?: Record<string, string>;
}

/** The typeface comes by npm, and a few lines of the build tool are in its output. */
const BESIDE_LIBRARIES = ["@fontsource-variable/noto-sans", "vite"];

function readPackage(folder: string): Package {
  return JSON.parse(readFileSync(join(folder, "package.json"), "utf8")) as Package;
}

/** Libraries that the app imports, with those that they import. */
function bundledNames(root: string): string[] {
  const names = new Set<string>();
  const add = (dependencies: Record<string, string> = {}) => {
    for (const name of Object.keys(dependencies)) {
      if (names.has(name) || NO_CODE.test(name)) continue;
      names.add(name);
      add(readPackage(join(root, "node_modules", name)).dependencies);
    }
  };
  add(readPackage(root).dependencies);
  return [...names, ...BESIDE_LIBRARIES].sort();
}

function notice(root: string, name: string): Notice {
  const folder = join(root, "node_modules", name);
  const { version, license, author } = readPackage(folder);
  if (license === undefined || license.startsWith("SEE ")) {
    throw new Error(`${name} does not say its license: read it and name it in tools/notices.ts.`);
  }
  const file = readdirSync(folder).find((entry) => /^(licen[cs]e|copying)/i.test(entry));
  const writer = typeof author === "string" ? author : (author?.name ?? "its authors");
  const text =
    file !== undefined ? readFileSync(join(folder, file), "utf8") : `Copyright ${writer}`;
  return { name, version, license, text };
}

export function writeNotices(root: string, out: string): void {
  const folder = join(out, "../notices");
  mkdirSync(folder, { recursive: true });
  const notices = bundledNames(root).map((name) => notice(root, name));
  for (const { textOf, ...work } of WITHIN) {
    notices.push({ ...work, text: readFileSync(join(root, "node_modules", textOf), "utf8") });
  }
  writeFileSync(join(folder, "web.json"), `${JSON.stringify(notices, null, 1)}\n`);
}
