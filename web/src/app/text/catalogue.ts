/**
 * Every word the phone shows: Fluent messages by id, from the catalogue that the desk and the
 * report share (server/bradawl/language). Only the active locale is loaded; English beside it.
 */

import { FluentBundle, type FluentResource, type FluentVariable } from "@fluent/bundle";
import type { ArgumentsOf, MessageId, Said } from "../../shared/said";
import { region } from "./region";
import { inEnglish, known } from "./tongues";

export const DEFAULT_LOCALE = "en-US";
/** en-US with every letter marked: what shows without marks does not come from here. */
export const PSEUDO_LOCALE = "en-XA";

const PLAIN = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ";
const MARKED = "áƀčďéƒğĥíĵķłḿńóþɋŕšťúṽŵẋýžÁƁČĎÉƑĞĤÍĴĶŁṀŃÓÞɊŔŠŤÚṼŴẊÝŽ";

/** `Fuel hose` as `Ƒúéł ĥóšé`. */
export function marked(text: string): string {
  return [...text].map((letter) => [...MARKED][PLAIN.indexOf(letter)] ?? letter).join("");
}

type Entry = FluentResource["body"][number];

/** What a file of the catalogue holds: each message's pattern by its id (tools/locales.ts). */
export type Patterns = Record<string, Entry["value"]>;

/** How each file is loaded, by its path. */
export type Files = Record<string, () => Promise<Patterns>>;

/** A message that the catalogue lacks, or that lacks an argument: told, never thrown. */
export class MessageError extends Error {}

/** Stands where an argument is missing. */
export const GAP = "…";

/** How the library names an argument that is not there. */
const UNKNOWN = /\$([\w-]+)/;

/** The first of a browser's languages that there is a locale for; a language without its region
 * takes ours of that language. As the server reads Accept-Language (language/reader.py). */
export function localeFor(languages: readonly string[], known: readonly string[]): string {
  for (const wanted of languages.map((name) => name.toLowerCase())) {
    const found = [...known, PSEUDO_LOCALE].find(
      (locale) => locale.toLowerCase() === wanted || locale.split("-")[0] === wanted,
    );
    if (found !== undefined) return found;
    if (wanted.startsWith("en")) break;
  }
  return DEFAULT_LOCALE;
}

/**
 * The sentence without a name that stands before a text which begins with it:
 * `Carburetor: Carburetor floods.` is `Carburetor floods.`
 */
function once(shown: string, args: Record<string, FluentVariable> = {}): string {
  for (const name of Object.values(args)) {
    if (typeof name !== "string" || name === "") continue;
    const start = shown.indexOf(`${name}: `);
    const rest = shown.slice(start + name.length + 2);
    const isTwice = rest.toLowerCase().startsWith(name.toLowerCase());
    if (start >= 0 && isTwice && !/^[\p{L}\p{N}_]/u.test(rest.slice(name.length))) {
      return shown.slice(0, start) + rest;
    }
  }
  return shown;
}

/** The arguments of a sentence, of which those in English say so. */
function languagesKept(given: Record<string, FluentVariable>): Record<string, FluentVariable> {
  const pairs = Object.entries(given).map(([name, value]) => [name, known(value)]);
  return Object.fromEntries(pairs) as Record<string, FluentVariable>;
}

/** The catalogue of a page: loaded once, then asked by every render. */
export class Catalogue {
  locale = DEFAULT_LOCALE;
  private bundles: FluentBundle[] = [];

  /**
   * `files`: whoever starts a page says where its words are. `tell` is told of what could not be
   * said: the browser's console, and tests.
   */
  constructor(
    public files: Files = {},
    public tell: (problem: MessageError) => void = (problem) => reportError(problem),
  ) {}

  /** Every locale that has words for the phone, the default first; without the pseudo-locale. */
  locales(): string[] {
    const own = Object.keys(this.files).filter((path) => path.endsWith("/phone.ftl"));
    const names = own.map((path) => path.split("/").at(-2) ?? "");
    return [...new Set([DEFAULT_LOCALE, ...names.sort()])];
  }

  /** The locale by which numbers and dates are written: CLDR knows no pseudo-locale, and in Europe
   * English writes 15 Jun 2022. */
  get formats(): string {
    const plain = this.locale === PSEUDO_LOCALE ? DEFAULT_LOCALE : this.locale;
    return plain === DEFAULT_LOCALE && region.value === "eu" ? "en-IE" : plain;
  }

  /** Load a locale, and English for what it lacks; English alone where it cannot be had now. */
  async load(locale: string = DEFAULT_LOCALE): Promise<void> {
    const english = locale === DEFAULT_LOCALE ? [] : [this.bundle(DEFAULT_LOCALE)];
    const own = this.bundle(locale).catch((problem) => {
      if (english.length === 0) throw problem;
      return null;
    });
    const loaded = await Promise.all([own, ...english]);
    this.bundles = loaded.filter((bundle) => bundle !== null);
    this.locale = loaded[0] === null ? DEFAULT_LOCALE : locale;
  }

  private async bundle(locale: string): Promise<FluentBundle> {
    const source = locale === PSEUDO_LOCALE ? DEFAULT_LOCALE : locale;
    const bundle = new FluentBundle(source, {
      useIsolating: false,
      ...(locale === PSEUDO_LOCALE ? { transform: marked } : {}),
    });
    const loads = Object.entries(this.files)
      .filter(([path]) => path.includes(`/locales/${source}/`))
      .map(([, load]) => load());
    for (const patterns of await Promise.all(loads)) {
      const body = Object.entries(patterns).map(([id, value]) => ({ id, value, attributes: {} }));
      bundle.addResource({ body: body as Entry[] });
    }
    return bundle;
  }

  /** Whether words in English stand out here: the pseudo-locale marks its own. */
  get isForeign(): boolean {
    return this.locale !== DEFAULT_LOCALE && this.locale !== PSEUDO_LOCALE;
  }

  /** Words that come with a screen of their own: loaded now, and with every locale from now on. */
  async also(files: Files): Promise<void> {
    this.files = { ...this.files, ...files };
    await this.load(this.locale);
  }

  /** A message as it stands in each loaded locale; of one with arguments, what stands around them. */
  lines(id: string): string {
    const values = this.bundles.map((bundle) => bundle.getMessage(id)?.value ?? "");
    return values
      .map((value) =>
        [value]
          .flat()
          .filter((one) => typeof one === "string")
          .join(""),
      )
      .join("\n");
  }

  has(id: string): boolean {
    return this.bundles.some((bundle) => bundle.hasMessage(id));
  }

  /**
   * The message in the loaded locale, else in English. For ids that are put together from codes.
   * Words and judge may be of different ages: an argument that is not there leaves a gap, and an
   * id that nobody knows says so. Neither costs the screen.
   */
  find(id: string, given?: Record<string, FluentVariable>): string {
    let cut = "";
    let problem = "";
    const args = this.isForeign && given !== undefined ? languagesKept(given) : given;
    for (const [place, bundle] of this.bundles.entries()) {
      const message = bundle.getMessage(id);
      if (message?.value == null) continue;
      const problems: Error[] = [];
      const shown = bundle.formatPattern(message.value, args, problems);
      if (problems.length === 0) {
        const said = once(shown, args);
        return place > 0 && this.isForeign ? inEnglish(said) : said;
      }
      const missing = problems.map((problem) => [UNKNOWN.exec(problem.message)?.[1] ?? "", GAP]);
      cut = bundle.formatPattern(message.value, { ...Object.fromEntries(missing), ...args }, []);
      problem = String(problems[0]?.message);
    }
    this.tell(new MessageError(`${id}: ${problem || "no such message"}`));
    if (cut !== "") return cut;
    return id === "shared-no-words" ? GAP : this.find("shared-no-words");
  }
}

export const catalogue = new Catalogue();

/** The locale that a person chose, else the browser's. */
export function chosenLocale(chosen = ""): string {
  return chosen || localeFor(navigator.languages, catalogue.locales());
}

/** The message in this reader's language; numbers are written as the locale writes them. */
export function text<Id extends MessageId>(id: Id, ...[args]: ArgumentsOf<Id>): string {
  return catalogue.find(id, args as Record<string, FluentVariable> | undefined);
}

/** What an error, a worker or the server has to say, in this reader's language. */
export function say(said: Said): string {
  return typeof said === "string" ? said : catalogue.find(said.id, said.args);
}
