/**
 * The catalogue's files: parsed here, one chunk a locale, and one of what the judge says. Those of
 * the default locale are fetched with the page.
 */

import { readFileSync } from "node:fs";
import { FluentResource } from "@fluent/bundle";
import type { Plugin } from "vite";

const DEFAULT_LOCALE = "en-US";
const SOURCE = /\/language\/locales\/([^/]+)\/([a-z]+)\.ftl/;
const CHUNK =
  /assets\/(?:judge-|trouble-|own-|capture-|find-|decide-|together-|codes-|claims-|before-|after-)?text-(\w+(?:-\w+)*)-[\w-]{8}\.js$/;
/** Files of the catalogue with a chunk of their own; that of what comes later is not fetched at a start. */
const OWN = [
  "judge",
  "trouble",
  "own",
  "capture",
  "find",
  "decide",
  "together",
  "codes",
  "claims",
  "before",
  "after",
];

/** The name of the chunk that a file of the catalogue goes to; null for every other file. */
export function chunkOf(id: string): string | null {
  const [, locale, file] = SOURCE.exec(id) ?? [];
  return locale === undefined
    ? null
    : `${OWN.includes(file ?? "") ? `${file}-` : ""}text-${locale}`;
}

/** Of which locale a built file is, and of which a phone need not take it along. */
export function otherLocale(path: string): string | null {
  const locale = CHUNK.exec(path.replaceAll("\\", "/"))?.[1] ?? DEFAULT_LOCALE;
  return locale === DEFAULT_LOCALE ? null : locale;
}

/** A file of the catalogue as the phone takes it: each message's pattern by its id, parsed here. */
export function parsedWords(): Plugin {
  return {
    name: "bradawl-parsed-words",
    enforce: "pre",
    load(path) {
      if (!SOURCE.test(path)) return null;
      const { body } = new FluentResource(readFileSync(path, "utf8"));
      const patterns = Object.fromEntries(body.map(({ id, value }) => [id, value]));
      return `export default ${JSON.stringify(patterns)}`;
    },
  };
}

/** The page names the default locale's chunk, so that it comes beside the app and not after it. */
export function preloadWords(): Plugin {
  return {
    name: "bradawl-preload-words",
    apply: "build",
    transformIndexHtml: {
      order: "post",
      handler: (_html, { bundle }) =>
        Object.keys(bundle ?? {})
          .filter(
            (file) =>
              CHUNK.exec(file)?.[1] === DEFAULT_LOCALE &&
              !/(trouble|own|capture|find|decide|together|codes|claims|before|after)-/.test(file),
          )
          .map((file) => ({
            tag: "link",
            attrs: { rel: "modulepreload", crossorigin: true, href: `/app/${file}` },
            injectTo: "head" as const,
          })),
    },
  };
}
