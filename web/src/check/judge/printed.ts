/** What the first pages print of a statement, found by our own words for it. */

import type { Run } from "../pdf/page-text";
import type { Statement } from "./statements";

/** Where a statement's words were found: on which page, from 1 on, and as what. */
export interface Printed {
  page: number;
  /** The value that the pages print, as its words; the same as expected, or another one's. */
  said: string;
  isExpected: boolean;
}

/** The words by which a page would print a statement, and those of its other possible values. */
export interface Wordings {
  /** What stands before it in the same row; "" where the words stand by themselves. */
  label: string;
  expected: string[];
  others: string[];
}

const DECIDING_PAGES = 2;
const SAME_ROW_PT = 6;

/** What of a statement stands on the pages that decide; null where its words are not found. */
export function printedOf(pages: readonly Run[][], wordings: Wordings): Printed | null {
  for (const [index, runs] of pages.slice(0, DECIDING_PAGES).entries()) {
    const text = wordings.label === "" ? flowing(runs) : rowsWith(runs, wordings.label);
    if (text === "") continue;
    const found = first(text, wordings);
    if (found !== null) return { page: index + 1, ...found };
  }
  return null;
}

function first(text: string, { expected, others }: Wordings): Omit<Printed, "page"> | null {
  for (const said of expected) if (holds(text, said)) return { said, isExpected: true };
  for (const said of others) if (holds(text, said)) return { said, isExpected: false };
  return null;
}

/** Whether these words stand there, not as a part of other words. */
function holds(text: string, words: string): boolean {
  const escaped = tidy(words).replaceAll(/[.*+?^${}()|[\]\\]/g, "\\$&");
  return (
    words !== "" && new RegExp(`(?<![\\p{L}\\p{N}])${escaped}(?![\\p{L}\\p{N}])`, "u").test(text)
  );
}

function tidy(text: string): string {
  return text.replaceAll(/\s+/gu, " ").trim();
}

function flowing(runs: readonly Run[]): string {
  return tidy(runs.map(({ text }) => text).join(" "));
}

/** All that stands in the rows in which a label stands. */
function rowsWith(runs: readonly Run[], label: string): string {
  const rows = runs.filter(({ text }) => tidy(text) === tidy(label));
  const beside = rows.flatMap((row) =>
    runs
      .filter(({ x, y }) => Math.abs(y - row.y) <= SAME_ROW_PT && x >= row.x)
      .sort((one, other) => one.x - other.x),
  );
  return flowing(beside);
}

export type { Statement };
