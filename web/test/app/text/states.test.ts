/**
 * Phone and check page take the word of a state from the message beside its mark; desk and report:
 * `tests/language/test_states.py`.
 */

import { FluentResource } from "@fluent/bundle";
import { afterEach, beforeEach, expect, test } from "vitest";
import { catalogue } from "../../../src/app/text/catalogue";
import { FILES } from "../../../src/app/text/catalogue-files";
import { gradeName, markName } from "../../../src/app/text/names";
import { statementTitle, valueText } from "../../../src/check/page/wording";
import type { Grade } from "../../../src/shared/contract";
import { MARK_OF_GRADE, MARK_WORD, type MarkId } from "../../../src/shared/marks";

const MARKS = Object.keys(MARK_WORD) as MarkId[];
const GRADES = Object.keys(MARK_OF_GRADE) as Grade[];
const word = (mark: MarkId) => `Zq${MARKS.indexOf(mark)}`;

beforeEach(async () => {
  const source = MARKS.map((mark) => `${MARK_WORD[mark]} = ${word(mark)}`).join("\n");
  const { body } = new FluentResource(
    `${source}\ncheck-area-value = { $grade }\ncheck-statement-grade = { $grade }`,
  );
  const messages = Object.fromEntries(body.map(({ id, value }) => [id, value]));
  catalogue.files = { "/locales/en-US/words.ftl": async () => messages };
  await catalogue.load("en-US");
});

afterEach(async () => {
  catalogue.files = FILES;
  await catalogue.load();
});

test.each(MARKS)("the phone says %s by its message", (mark) => {
  expect(markName(mark)).toBe(word(mark));
});

test("a grade is said by the word of its mark, and none yet by that of a blank tag", () => {
  expect(GRADES.map((grade) => gradeName(grade))).toEqual(
    GRADES.map((grade) => word(MARK_OF_GRADE[grade])),
  );
  expect(gradeName(null)).toBe(word("open"));
});

test("the check page says grades as the phone does", () => {
  const area = { kind: "area" as const, of: "brakes", value: null };
  for (const worst of [...GRADES, null]) {
    expect(valueText(area, { worst, done: 1, total: 2 })).toBe(gradeName(worst));
  }
  for (const of of ["dangerous", "major", "minor"] as const) {
    const counted = { kind: "grade" as const, of, value: 1 };
    expect(statementTitle(counted, new Map())).toBe(gradeName(of));
  }
  const unseen = { kind: "unseen" as const, of: "", value: 1 };
  expect(statementTitle(unseen, new Map())).toBe(word("not_checked"));
});
