/** Figures in the reader's unit, by the table that the server is held to (tests/language). */

import { readFileSync } from "node:fs";
import { afterEach, expect, test } from "vitest";
import { catalogue } from "../../../src/app/text/catalogue";
import { converted, decimal, firstUnit, fromBase, unitFor } from "../../../src/app/text/measures";
import { likelyRegion, region } from "../../../src/app/text/region";
import type { Region } from "../../../src/shared/contract";

const path = new URL("../../../../tests/language/measures.json", import.meta.url);
const table = JSON.parse(readFileSync(path, "utf8")) as {
  rows: [string, string, string[], Region, string, string][];
};

afterEach(() => {
  region.value = "us";
});

test.each(table.rows)(
  "%s, read in %s of %j, is in %s %s %s",
  (base, unit, offered, where, figure, shown) => {
    region.value = where;
    expect(unitFor(unit, offered)).toBe(shown);
    expect(fromBase(base, shown)).toBe(figure);
  },
);

test("a figure of one unit is one of another", () => {
  expect(converted("28", "mil", "um")).toBe("711");
  expect(converted("1 1/4", "in", "mm")).toBe("31.75");
  expect(converted("300", "degF", "degC")).toBe("149");
  expect(converted("300", "degF", "degF")).toBe("300");
  expect(converted("3", "unheard", "mm")).toBe("3");
});

test("a reading begins in the unit of the region's trade", () => {
  expect(firstUnit(["mm", "in/32"], "us")).toBe("in/32");
  expect(firstUnit(["inHg", "kPa", "bar", "psi"], "us")).toBe("inHg");
  expect(firstUnit(["psi", "bar", "kPa"], "eu")).toBe("bar");
  expect(firstUnit(["V", "mV"], "us")).toBe("V");
  expect(firstUnit([], "us")).toBe("");
});

test("a decimal is written as the region writes it", () => {
  expect(decimal("1234.50")).toBe("1,234.50");
  region.value = "eu";
  expect(catalogue.formats).toBe("en-IE");
  expect(decimal("1234.50")).toBe("1,234.50");
});

test.each([
  // zones of the IANA data base
  [["en-US"], "America/Chicago", "us"],
  [["de-AT", "en-US"], "America/Indiana/Knox", "us"],
  [["en-US"], "Europe/Vienna", "eu"],
  [["en-US"], "UTC", "us"],
  [["en"], "UTC", "us"],
  [["es-US"], "UTC", "us"],
  [["de-DE"], "UTC", "eu"],
  [["en-US"], "America/Toronto", "us"],
  [["fr-CA"], "America/Toronto", "eu"],
  [[], "UTC", "us"],
])("languages %j and the clock of %s make %s likely", (languages, zone, likely) => {
  expect(likelyRegion(languages, zone)).toBe(likely);
});
