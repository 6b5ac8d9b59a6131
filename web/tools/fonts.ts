/**
 * The typeface, cut from its package: of each script the letters that `tokens.json` names, between
 * the weights and widths that are used. Files of their own below `/app/fonts`, for phone, desk and
 * check page; the shell does not count them and does not wait for them.
 */

import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import subsetFont from "subset-font";
import type { Plugin } from "vite";

const PACKAGE = "@fontsource-variable/noto-sans";
const STYLES = ["normal", "italic"];
/** What the app takes along at once: an American's letters, upright. */
const TAKEN_ALONG = "latin-normal";

interface Type {
  cut: number;
  axes: Record<string, [number, number]>;
  ranges: Record<string, string>;
}

interface Face {
  /** Below `fonts/`. */
  file: string;
  source: string;
  letters: string;
}

function readType(repository: string): Type {
  const file = join(repository, "server/bradawl/design/tokens.json");
  return (JSON.parse(readFileSync(file, "utf8")) as { type: Type }).type;
}

/** All characters of a `unicode-range`. */
function lettersOf(ranges: string): string {
  return ranges
    .split(",")
    .map((range) => range.slice(2).split("-"))
    .flatMap(([first, last = first]) => {
      const from = Number.parseInt(first ?? "", 16);
      const to = Number.parseInt(last ?? "", 16);
      return Array.from({ length: to - from + 1 }, (_, n) => String.fromCodePoint(from + n));
    })
    .join("");
}

function facesOf(type: Type): Face[] {
  return STYLES.flatMap((style) =>
    Object.entries(type.ranges).map(([script, ranges]) => ({
      file: `${script}-${style}-${type.cut}.woff2`,
      source: `noto-sans-${script}-wdth-${style}.woff2`,
      letters: lettersOf(ranges),
    })),
  );
}

/** A cut face; the same cut is made once and then kept beside the packages. */
async function cut(root: string, type: Type, face: Face): Promise<Buffer> {
  const source = readFileSync(join(root, "node_modules", PACKAGE, "files", face.source));
  const axes = Object.entries(type.axes).map(([name, [min, max]]) => [name, { min, max }]);
  const wanted = JSON.stringify([face.letters, axes]);
  const key = createHash("sha256").update(source).update(wanted).digest("hex");
  const kept = join(root, "node_modules/.fonts", `${key}.woff2`);
  if (existsSync(kept)) return readFileSync(kept);
  const made = await subsetFont(source, face.letters, {
    targetFormat: "woff2",
    noLayoutClosure: true,
    variationAxes: Object.fromEntries(axes),
  });
  mkdirSync(join(root, "node_modules/.fonts"), { recursive: true });
  writeFileSync(kept, made);
  return made;
}

/** The address of the face that the service worker takes along, and that the page asks for first. */
export function fontTakenAlong(repository: string): string {
  return `/app/fonts/${TAKEN_ALONG}-${readType(repository).cut}.woff2`;
}

/** Cuts the faces into the build; while somebody develops, at the first request. */
export function fonts(root: string, repository: string): Plugin {
  return {
    name: "bradawl-fonts",
    async generateBundle() {
      const type = readType(repository);
      for (const face of facesOf(type)) {
        const source = await cut(root, type, face);
        this.emitFile({ type: "asset", fileName: `fonts/${face.file}`, source });
      }
    },
    transformIndexHtml: () => [
      {
        tag: "link",
        attrs: {
          rel: "preload",
          as: "font",
          type: "font/woff2",
          crossorigin: true,
          href: fontTakenAlong(repository),
        },
        injectTo: "head" as const,
      },
    ],
    configureServer(vite) {
      vite.middlewares.use("/app/fonts/", (request, response, next) => {
        const type = readType(repository);
        const face = facesOf(type).find(({ file }) => `/${file}` === request.url);
        if (face === undefined) return next();
        void cut(root, type, face).then((made) => {
          response.setHeader("Content-Type", "font/woff2");
          response.end(made);
        }, next);
      });
    },
  };
}
