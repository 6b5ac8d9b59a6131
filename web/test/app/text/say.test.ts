/** What the judge left unsaid, by the table that the server is held to (tests/language). */

import { readFileSync } from "node:fs";
import { afterAll, expect, test } from "vitest";
import { catalogue } from "../../../src/app/text/catalogue";
import { chosenUnits, region } from "../../../src/app/text/region";
import { say, type Texts } from "../../../src/app/text/say";
import { bare } from "../../../src/app/text/tongues";
import type { Region, Said } from "../../../src/shared/contract";

const path = new URL("../../../../tests/language/say.json", import.meta.url);
const table = JSON.parse(readFileSync(path, "utf8")) as {
  texts: Texts;
  rows: [Said, string, Region, string][];
  names_said_once: [Said, string][];
  other_versions: [Said, string][];
};

afterAll(async () => {
  region.value = "us";
  await catalogue.load();
});

test("a figure is in the unit that this person chose for such a reading, its limit too", async () => {
  await catalogue.load();
  region.value = "us";
  const asked = { offered: ["mm", "in/32"], like: "pad" };
  const args = {
    name: "Pad",
    value: { number: "5/2", unit: "mm", typed: "2.50", ...asked },
    limit: { number: "381/160", unit: "in/32", typed: "3", ...asked },
  };
  const limit = { id: "judge-limit-above", args };
  expect(say(limit, {})).toBe("Pad: 3.1/32 in is over 3/32 in.");
  chosenUnits.value = { "pad mm in/32 0 30": "mm" };
  expect(say(limit, {})).toBe("Pad: 2.50 mm is over 2.38 mm.");
  chosenUnits.value = { "pads mm in/32": "mm", "pad mm in": "mm" };
  expect(say(limit, {})).toBe("Pad: 3.1/32 in is over 3/32 in.");
  chosenUnits.value = {};
});

test.each(table.rows)("%j in %s, %s: %s", async (said, locale, where, shown) => {
  if (catalogue.locale !== locale || !catalogue.has("grade-none")) await catalogue.load(locale);
  region.value = where;
  expect(bare(say(said, table.texts))).toBe(shown);
});

test.each(table.names_said_once)("%j says its name once: %s", (said, shown) => {
  expect(say(said, table.texts)).toBe(shown);
});

test.each(table.other_versions)(
  "%j of another version costs a gap, no screen: %s",
  async (said, shown) => {
    region.value = "us";
    await catalogue.load();
    const strict = catalogue.tell;
    const told: string[] = [];
    catalogue.tell = ({ message }) => told.push(message);
    expect(say(said, table.texts)).toBe(shown);
    expect(told).not.toEqual([]);
    catalogue.tell = strict;
  },
);
