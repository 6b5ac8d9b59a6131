/**
 * A search over short texts by words: any order, beginnings, parts, slips of the finger. Every word
 * that is typed has to be found; slips are looked for where little is spelled so, and come last.
 */

/** Something to find: texts with how much a word in each counts. */
export interface Findable {
  id: string;
  texts: { weight: number; text: string }[];
}

/** The ways to read typed words; the second time with slips allowed. */
export type Readings = (words: readonly string[], isSlipLooked: boolean) => string[][];

const EXACT = 8;
const BEGINNING = 6;
const WITHIN = 3;
const SLIP = 2;
/** A part of a word is one from so many letters on. */
const PART = 3;
/** With so many found as they are spelled, slips are not looked for. */
const ENOUGH = 8;

/** Words as they are compared: without case and accents. */
export function wordsOf(text: string): string[] {
  const plain = text.normalize("NFD").replaceAll(/\p{M}/gu, "").toLowerCase();
  return plain.split(/[^\p{L}\p{N}]+/u).filter((word) => word !== "");
}

/** How many slips a word of that length may have. */
function slipsIn(word: string): number {
  return word.length < PART ? 0 : word.length < 8 ? 1 : 2;
}

/**
 * The fewest slips (a letter missing, added, taken for another, or two swapped) between what is
 * typed and the beginning of a word; more than `most` is `most + 1`.
 */
export function slips(typed: string, word: string, most: number): number {
  let before: number[] = [];
  let last = Array.from({ length: word.length + 1 }, (_, column) => column);
  for (let row = 1; row <= typed.length; row += 1) {
    const line = [row];
    for (let column = 1; column <= word.length; column += 1) {
      const isSame = typed[row - 1] === word[column - 1];
      const isSwapped = typed[row - 1] === word[column - 2] && typed[row - 2] === word[column - 1];
      const at = (of: number[], place: number) => of[place] ?? most + 1;
      line[column] = Math.min(
        at(last, column) + 1,
        at(line, column - 1) + 1,
        at(last, column - 1) + (isSame ? 0 : 1),
        isSwapped ? at(before, column - 2) + 1 : most + 1,
      );
    }
    [before, last] = [last, line];
  }
  // what is typed may be the beginning of a longer word
  const from = Math.max(0, typed.length - most);
  return Math.min(most + 1, ...last.slice(from));
}

export class WordIndex {
  /** Of each word, how much it counts for what it stands in. */
  private readonly known = new Map<string, Map<string, number>>();
  /** The same of two words that stand side by side, written as one. */
  private readonly joined = new Map<string, Map<string, number>>();
  private readonly order = new Map<string, number>();
  /** Of how many words its first text is. */
  private readonly length = new Map<string, number>();

  constructor(entries: readonly Findable[]) {
    entries.forEach(({ id, texts }, place) => {
      this.order.set(id, place);
      this.length.set(id, wordsOf(texts[0]?.text ?? "").length);
      for (const { weight, text } of texts) {
        const words = wordsOf(text);
        words.forEach((word, n) => {
          this.note(word, id, weight);
          // "ball joint" is found as "balljoint" too
          const next = words[n + 1];
          if (next !== undefined) this.note(word + next, id, weight / 2, this.joined);
        });
      }
    });
  }

  private note(word: string, id: string, weight: number, known = this.known): void {
    const ids = known.get(word) ?? new Map<string, number>();
    ids.set(id, Math.max(weight, ids.get(id) ?? 0));
    known.set(word, ids);
  }

  /** Where a word stands as it is typed, with how well it fits. */
  private spelled(typed: string): Map<string, number> {
    const found = new Map<string, number>();
    const take = (ids: Map<string, number>, quality: number) => taken(found, ids, quality);
    for (const [word, ids] of this.known) {
      if (word === typed) take(ids, EXACT);
      else if (word.startsWith(typed)) take(ids, BEGINNING);
      else if (typed.length >= PART && word.includes(typed)) take(ids, WITHIN);
    }
    for (const [words, ids] of this.joined) if (words.startsWith(typed)) take(ids, BEGINNING);
    return found;
  }

  /** The same, with slips where nothing is spelled so, or where they are looked for. */
  private where(typed: string, isSlipLooked: boolean): Map<string, number> {
    const found = this.spelled(typed);
    const most = slipsIn(typed);
    if (most === 0 || (found.size > 0 && !isSlipLooked)) return found;
    for (const [word, ids] of this.known) {
      // of three letters and a wrong first one nothing is left to know a word by
      if (word.length < PART || (typed.length === PART && typed[0] !== word[0])) continue;
      if (word.length < typed.length - most) continue;
      // further letters of a longer word count for nothing
      const start = word.slice(0, typed.length + most);
      if (slips(typed, start, most) <= most) taken(found, ids, SLIP);
    }
    return found;
  }

  /**
   * Ids of what has every word of `query`, the best first; of equals the one that says least
   * beside them, then in the order given. `readings`: the ways to read its words, for whoever knows
   * that some are called otherwise.
   */
  find(query: string, readings: Readings = (words) => [[...words]]): string[] {
    const typed = wordsOf(query);
    if (typed.length === 0) return [];
    // what is spelled like nothing here may be a slip of what people say too
    const isSpelled = typed.every((word) => this.spelled(word).size > 0);
    const strict = this.best(readings(typed, !isSpelled), false);
    if (strict.length >= ENOUGH) return strict;
    // what is typed may be another word by chance: "tie" for "tire"
    return [...new Set([...strict, ...this.best(readings(typed, true), true)])];
  }

  /** Each by the reading that fits it best. */
  private best(readings: string[][], isSlipLooked: boolean): string[] {
    const scores = new Map<string, number>();
    const seen = new Map<string, Map<string, number>>();
    const where = (word: string) => {
      const found = seen.get(word) ?? this.where(word, isSlipLooked);
      seen.set(word, found);
      return found;
    };
    for (const words of readings) {
      for (const [id, score] of together(words, where)) {
        scores.set(id, Math.max(score, scores.get(id) ?? 0));
      }
    }
    const of = (known: Map<string, number>, id: string) => known.get(id) ?? 0;
    return [...scores]
      .sort(
        ([a, one], [b, other]) =>
          other - one ||
          of(this.length, a) - of(this.length, b) ||
          of(this.order, a) - of(this.order, b),
      )
      .map(([id]) => id);
  }
}

function taken(found: Map<string, number>, ids: Map<string, number>, quality: number): void {
  for (const [id, weight] of ids) found.set(id, Math.max(weight * quality, found.get(id) ?? 0));
}

/** What has every one of the words, with how well they fit together. */
function together(
  words: readonly string[],
  where: (word: string) => Map<string, number>,
): Map<string, number> {
  let scores: Map<string, number> | null = null;
  for (const word of words) {
    const before: Map<string, number> | null = scores;
    scores = new Map(
      [...where(word)].flatMap(([id, score]): [string, number][] => {
        const sum = before === null ? 0 : before.get(id);
        return sum === undefined ? [] : [[id, sum + score]];
      }),
    );
  }
  return scores ?? new Map();
}
