/** What the build does beside bundling: service worker, check page, notices, budgets. */

import { createHash } from "node:crypto";
import { readdirSync, readFileSync, statSync } from "node:fs";
import { join, relative } from "node:path";
import { gzipSync } from "node:zlib";
import { build, type Plugin } from "vite";
import { buildCheckPage } from "./check-page.ts";
import { compressFiles, PACKED, packed } from "./compress.ts";
import { otherLocale } from "./locales.ts";
import { writeNotices } from "./notices.ts";

/** Compressed sizes, kB of 1,000 bytes, that a phone on a weak signal can be asked for. */
const BUDGETS_KB = {
  shell: 90,
  judge: 300,
  trouble: 25,
  later: 60,
  around: 60,
  codes: 430,
  font: 40,
};

function filesBelow(folder: string): string[] {
  return readdirSync(folder, { recursive: true, encoding: "utf8" })
    .map((name) => join(folder, name))
    .filter((path) => statSync(path).isFile())
    .sort();
}

function compressedKb(path: string): number {
  return packed(readFileSync(path)).length / 1000;
}

/** Files that the app needs no letter of to start; of those the worker takes one along by itself. */
function isFont(path: string): boolean {
  return path.endsWith(".woff2");
}

/**
 * What comes when it is looked at, though it is kept with the rest: such a module is named `parts`
 * or `…-parts`; the words of these screens come with them.
 */
function isLater(path: string): boolean {
  return /assets\/(([a-z]+-)*parts|(own|capture|find|decide|together|claims)-text)-[^/]+\.(js|css)$/.test(
    path.replaceAll("\\", "/"),
  );
}

/** The hours around the visit, before one goes and after one has looked: screens and words. */
function isAround(path: string): boolean {
  return /assets\/(before|after)-(parts|text)-[^/]+\.(js|css)$/.test(path.replaceAll("\\", "/"));
}

/** What is loaded when somebody looks for a cause: the screens and their words. */
function isTrouble(path: string): boolean {
  return /assets\/trouble-[^/]+\.(js|css)$/.test(path.replaceAll("\\", "/"));
}

/** What reads bar codes, larger than all that a start needs: taken along by itself, when it suits. */
function isReader(path: string): boolean {
  return /assets\/(codes|zxing_reader)-[\w-]{8}\.(js|wasm)$/.test(path.replaceAll("\\", "/"));
}

/** That, and the screens that use it, which are taken along with the rest. */
function isCodes(path: string): boolean {
  return (
    isReader(path) || /assets\/codes-(parts|text)-[^/]+\.(js|css)$/.test(path.replaceAll("\\", "/"))
  );
}

function isJudge(path: string): boolean {
  return path.endsWith(".wasm") || /assets\/judge-[^/]+\.js$/.test(path.replaceAll("\\", "/"));
}

/**
 * The judge's Python files nearly as the server serves them (server/bradawl/serving/judge_files.py):
 * without comments and docstrings, which no phone downloads; annotations are counted still. Those
 * of a start, or those that come later.
 */
function judgeSources(root: string, isLater: boolean): string {
  const folder = join(root, "../server/bradawl/judge");
  const atTheDesk = /\/judge\/(ledger\/|costs\/(fitness|plan|tip_over|work_order)\.py)/;
  return filesBelow(folder)
    .filter((path) => path.endsWith(".py") && !path.includes("values/types/"))
    .filter((path) => !atTheDesk.test(path.replaceAll("\\", "/")))
    .filter((path) => path.replaceAll("\\", "/").includes("/judge/trouble/") === isLater)
    .map((path) => readFileSync(path, "utf8").replaceAll(/"""[\s\S]*?"""|^ *#.*\n/gm, ""))
    .join("");
}

async function buildServiceWorker(root: string, out: string, font: string): Promise<void> {
  const hash = createHash("sha256");
  const files = filesBelow(out).filter((path) => !path.endsWith("sw.js") && !isFont(path));
  for (const path of files) hash.update(readFileSync(path));
  const own = files.filter((path) => !isReader(path));
  hash.update(readFileSync(join(root, "src/sw/sw.ts")));
  const address = (path: string) => `/app/${relative(out, path).replaceAll("\\", "/")}`;
  await build({
    configFile: false,
    root,
    logLevel: "warn",
    publicDir: false,
    define: {
      FONT: JSON.stringify(font),
      VERSION: JSON.stringify(hash.digest("hex").slice(0, 16)),
      CODE_FILES: JSON.stringify(files.filter(isReader).map(address)),
      FILES: JSON.stringify(own.filter((path) => otherLocale(path) === null).map(address)),
      LOCALES: JSON.stringify(
        files.flatMap((path) => {
          const locale = otherLocale(path);
          return locale === null ? [] : [[locale, address(path)]];
        }),
      ),
    },
    build: {
      outDir: out,
      emptyOutDir: false,
      lib: {
        entry: join(root, "src/sw/sw.ts"),
        formats: ["iife"],
        name: "sw",
        fileName: () => "sw.js",
      },
    },
  });
}

function holdBudgets(root: string, out: string, font: string): void {
  let shell = 0;
  const letters = statSync(join(out, relative("/app", font))).size / 1000;
  let later = 0;
  let around = 0;
  let codes = 0;
  let judge = gzipSync(judgeSources(root, false), { level: 9 }).length / 1000;
  let trouble = gzipSync(judgeSources(root, true), { level: 9 }).length / 1000;
  for (const path of filesBelow(out)) {
    if (PACKED.test(path) || otherLocale(path) !== null || isFont(path)) continue;
    if (isCodes(path)) codes += compressedKb(path);
    else if (isJudge(path)) judge += compressedKb(path);
    else if (isTrouble(path)) trouble += compressedKb(path);
    else if (isAround(path)) around += compressedKb(path);
    else if (isLater(path)) later += compressedKb(path);
    else shell += compressedKb(path);
  }
  const lines = [
    `app shell ${shell.toFixed(1)} kB of ${BUDGETS_KB.shell} kB compressed`,
    `judge and its words ${judge.toFixed(1)} kB of ${BUDGETS_KB.judge} kB compressed`,
    `what is judged beside the walk ${trouble.toFixed(1)} kB of ${BUDGETS_KB.trouble} kB compressed`,
    `what is loaded when looked at ${later.toFixed(1)} kB of ${BUDGETS_KB.later} kB compressed`,
    `before and after the visit ${around.toFixed(1)} kB of ${BUDGETS_KB.around} kB compressed`,
    `reader of bar codes ${codes.toFixed(1)} kB of ${BUDGETS_KB.codes} kB compressed`,
    `typeface taken along ${letters.toFixed(1)} kB of ${BUDGETS_KB.font} kB`,
  ];
  process.stdout.write(`${lines.join("\n")}\n`);
  const isOver =
    shell > BUDGETS_KB.shell ||
    judge > BUDGETS_KB.judge ||
    trouble > BUDGETS_KB.trouble ||
    later > BUDGETS_KB.later ||
    around > BUDGETS_KB.around ||
    codes > BUDGETS_KB.codes ||
    letters > BUDGETS_KB.font;
  if (isOver) {
    throw new Error("The phone app is over its budget (tools/after-build.ts).");
  }
}

/** `font` is the address of the face that is taken along. */
export function afterBuild(root: string, out: string, font: string): Plugin {
  return {
    name: "bradawl-after-build",
    apply: "build",
    async closeBundle() {
      await buildServiceWorker(root, out, font);
      compressFiles(filesBelow(out));
      writeNotices(root, out);
      holdBudgets(root, out, font);
      // after the budgets: no phone is asked for it
      const size = await buildCheckPage(root, out);
      process.stdout.write(`check page ${(size / 1000).toFixed(1)} kB before the shop's part\n`);
    },
  };
}
