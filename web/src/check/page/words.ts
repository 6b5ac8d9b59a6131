/** The page's words: the locale that the server put into it, and English for what that lacks. */

import { FluentResource, type FluentVariable } from "@fluent/bundle";
import { catalogue, PSEUDO_LOCALE } from "../../app/text/catalogue";
import { dateText, readable } from "../../app/text/formats";
import type { CheckMessages } from "../../shared/messages";
import type { Sentence } from "../report/verdict";

type Id = keyof CheckMessages & string;
type ArgumentsOf<One extends Id> = CheckMessages[One] extends null ? [] : [CheckMessages[One]];

/** Have the catalogue say what these sources say; the first is the reader's locale. */
export async function learn(words: [locale: string, source: string][]): Promise<void> {
  catalogue.files = Object.fromEntries(
    words.map(([locale, source]) => [
      `/locales/${locale}/words.ftl`,
      async () => {
        const { body } = new FluentResource(source);
        return Object.fromEntries(body.map(({ id, value }) => [id, value]));
      },
    ]),
  );
  await catalogue.load(words[0]?.[0]);
}

export function text<One extends Id>(id: One, ...[args]: ArgumentsOf<One>): string {
  return catalogue.find(id, args as Record<string, FluentVariable> | undefined);
}

/** A sentence of a verdict; days and moments in it are written as this reader writes them. */
export function said({ id, args }: Sentence): string {
  const shown = Object.entries(args ?? {}).map(([name, value]) => {
    if (name === "when") return [name, readable(Number(value))];
    return [name, ["date", "begins", "ends"].includes(name) ? dateText(String(value)) : value];
  });
  return catalogue.find(id, Object.fromEntries(shown));
}

/** Words that other parts of the product say too: ratings, answers. */
export function shared(id: string, args?: Record<string, FluentVariable>): string {
  return catalogue.find(id, args);
}

export { catalogue, dateText, PSEUDO_LOCALE, readable };
