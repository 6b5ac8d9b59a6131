/** What a start needs lies in one file; what comes when it is looked at does not. */

import { expect, test } from "vitest";
import { isOfStart } from "../../tools/chunks.ts";

const IMPORTERS: Record<string, string[]> = {
  entry: [],
  shared: ["entry", "later"],
  ring: ["shared", "other"],
  other: ["ring"],
  later: [], // by a dynamic import alone
  beside: ["later", "again"],
  again: ["beside"],
};

function infoOf(id: string) {
  const importers = IMPORTERS[id];
  return importers === undefined ? null : { isEntry: id === "entry", importers };
}

test.each([
  ["entry", true],
  ["shared", true],
  ["other", true],
  ["ring", true],
  ["later", false],
  ["beside", false],
  ["again", false],
  ["unheard of", false],
])("%s: %s", (id, wanted) => {
  expect(isOfStart(id, infoOf)).toBe(wanted);
});
