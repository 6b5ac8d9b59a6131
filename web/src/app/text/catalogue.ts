/**
 * Every word the phone shows: Fluent messages by id, from the catalogue that the desk and the
 * report share (server/bradawl/language). Only the active locale is loaded; English beside it.
 */

import { FluentBundle, FluentResource, type FluentVariable } from "@fluent/bundle";
import type { Messages } from "../../shared/messages";

export const DEFAULT_LOCALE = "en-US";
/** en-US with every letter marked: what shows without marks does not come from here. */
export const PSEUDO_LOCALE = "en-XA";

const PLAIN = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ";
const MARKED = "áƀčďéƒğĥíĵķłɱńóþɋŕšťúṽŵẋýžÁƁČĎÉƑĞĤÍĴĶŁṀŃÓÞɊŔŠŤÚṼŴẊÝŽ";

/** `Fuel hose` as `Ƒúéł ĥóšé`. */
export function marked(text: string): string {
  return [...text].map((letter) => [...MARKED][PLAIN.indexOf(letter)] ?? letter).join("");
}

const FILES = import.meta.glob<string>(
  "../../../../server/bradawl/language/locales/*/{shared,judge,phone}.ftl",
  { query: "?raw", import: "default" },
);

/** A message that the catalogue lacks, or that lacks an argument: a mistake of the code. */
export class MessageError extends Error {}

function isOf(path: string, locale: string): boolean {
  return path.includes(`/locales/${locale}/`);
}

/** Every locale that has files, the default first; without the pseudo-locale. */
export function locales(): string[] {
  const names = Object.keys(FILES).map((path) => path.split("/").at(-2) ?? "");
  return [...new Set([DEFAULT_LOCALE, ...names.sort()])];
}

async function loadBundle(locale: string): Promise<FluentBundle> {
  const source = locale === PSEUDO_LOCALE ? DEFAULT_LOCALE : locale;
  const bundle = new FluentBundle(source, {
    useIsolating: false,
    ...(locale === PSEUDO_LOCALE ? { transform: marked } : {}),
  });
  const files = Object.entries(FILES).filter(([path]) => isOf(path, source));
  for (const text of await Promise.all(files.map(([, load]) => load()))) {
    bundle.addResource(new FluentResource(text));
  }
  return bundle;
}

/** The catalogue of a page: loaded once, then asked by every render. */
export class Catalogue {
  locale = DEFAULT_LOCALE;
  private bundles: FluentBundle[] = [];

  /** Load a locale, and English for what it lacks. The screen's `lang` is the caller's to set. */
  async load(locale: string = DEFAULT_LOCALE): Promise<void> {
    const wanted = [...new Set([locale, DEFAULT_LOCALE])];
    this.bundles = await Promise.all(wanted.map(loadBundle));
    this.locale = locale;
  }

  /** The message in the loaded locale, else in English. */
  find(id: string, args?: Record<string, FluentVariable>): string {
    for (const bundle of this.bundles) {
      const message = bundle.getMessage(id);
      if (message?.value == null) continue;
      const problems: Error[] = [];
      const shown = bundle.formatPattern(message.value, args, problems);
      if (problems.length === 0) return shown;
    }
    throw new MessageError(`no such message: ${id}`);
  }
}

export const catalogue = new Catalogue();

/** The message in this reader's language; numbers are written as the locale writes them. */
export function text<Id extends keyof Messages & string>(
  id: Id,
  ...args: Messages[Id] extends null ? [] : [Messages[Id]]
): string {
  return catalogue.find(id, args[0] as Record<string, FluentVariable> | undefined);
}
