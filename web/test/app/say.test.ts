/** What the judge left unsaid, by the table that the server is held to (tests/language). */

import { readFileSync } from "node:fs";
import { afterAll, expect, test } from "vitest";
import { catalogue } from "../../src/app/text/catalogue";
import { region } from "../../src/app/text/region";
import { say, type Texts } from "../../src/app/text/say";
import type { Region, Said } from "../../src/shared/contract";

const path = new URL("../../../tests/language/say.json", import.meta.url);
const table = JSON.parse(readFileSync(path, "utf8")) as {
  texts: Texts;
  rows: [Said, string, Region, string][];
};

afterAll(async () => {
  region.value = "us";
  await catalogue.load();
});

test.each(table.rows)("%j in %s, %s: %s", async (said, locale, where, shown) => {
  if (catalogue.locale !== locale || !catalogue.has("grade-none")) await catalogue.load(locale);
  region.value = where;
  expect(say(said, table.texts)).toBe(shown);
});
