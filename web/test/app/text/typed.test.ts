/** What people type, by the table that the judge's own reader is held to (tests/judge/values). */

import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { amounts, days, numbers, type Style } from "../../../src/app/text/typed";

const path = new URL("../../../../tests/judge/values/typed.json", import.meta.url);
const table = JSON.parse(readFileSync(path, "utf8")) as {
  numbers: [string, Style, boolean, string[]][];
  amounts: [string, Style, string[]][];
  days: [string, Style, string[]][];
  days_in_other_words: [string, string[], string[]][];
};

test.each(table.numbers)("the number %o (%s, whole: %s) is %o", (typed, style, isWhole, read) => {
  expect(numbers(typed, style, isWhole)).toEqual(read);
});

test.each(table.amounts)("the amount %o (%s) is %o", (typed, style, read) => {
  expect(amounts(typed, style)).toEqual(read);
});

test.each(table.days)("the day %o (%s) is %o", (typed, style, read) => {
  expect(days(typed, style)).toEqual(read);
});

test.each(table.days_in_other_words)("the day %o", (typed, months, read) => {
  expect(days(typed, "us", months)).toEqual(read);
});
