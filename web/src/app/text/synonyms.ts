/** What people type and the words they mean by it (find.ftl); a typed query read both ways. */

import { slips, wordsOf } from "./word-index";

/** What is typed, and what stands in its place; words as they are compared. */
export interface Synonym {
  typed: string[];
  meant: string[];
}

/** As many readings of one query are searched; a longer one is read as it is typed. */
const MOST_READINGS = 24;
/** From so many letters on a beginning stands for the word that is still being typed. */
const BEGUN = 2;
/** From so many letters on a word may have a slip. */
const LONG = 6;

/** Lines of `typed, typed = words`; what is no such line says nothing. */
export function synonymsIn(lines: string): Synonym[] {
  return lines.split("\n").flatMap((line) => {
    const [typed = "", meant = ""] = line.split("=");
    const words = wordsOf(meant);
    return typed
      .split(",")
      .map((one) => ({ typed: wordsOf(one), meant: words }))
      .filter((one) => one.typed.length > 0 && words.length > 0);
  });
}

function isSame(typed: string, word: string, isBegun: boolean, isSlipLooked: boolean): boolean {
  if (typed === word || typed === `${word}s` || `${typed}s` === word) return true;
  if (isBegun && typed.length >= BEGUN && word.startsWith(typed)) return true;
  return isSlipLooked && Math.min(typed.length, word.length) >= LONG && slips(typed, word, 1) <= 1;
}

/** Every way to read what was typed, as it stands first. */
export function readingsOf(
  words: readonly string[],
  synonyms: readonly Synonym[],
  isSlipLooked = false,
): string[][] {
  const from = (place: number): string[][] => {
    const word = words[place];
    if (word === undefined) return [[]];
    const found = from(place + 1).map((rest) => [word, ...rest]);
    for (const { typed, meant } of synonyms) {
      const end = place + typed.length;
      if (end > words.length) continue;
      // the last of several; one alone is too easily the beginning of something else
      const begun = typed.length > 1 ? words.length - 1 : words.length;
      const fits = typed.every((one, n) =>
        isSame(words[place + n] as string, one, place + n === begun, isSlipLooked),
      );
      if (fits) found.push(...from(end).map((rest) => [...meant, ...rest]));
    }
    return found.slice(0, MOST_READINGS);
  };
  return from(0);
}
