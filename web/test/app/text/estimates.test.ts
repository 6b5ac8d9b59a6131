/** Estimates rounded for the eye, by the table that the server is held to (tests/language). */

import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { about } from "../../../src/app/text/estimates";

const path = new URL("../../../../tests/language/about.json", import.meta.url);
const table = JSON.parse(readFileSync(path, "utf8")) as { rows: [number, string][] };

test.each(table.rows)("%d is shown as %s", (amount, shown) => {
  expect(about(amount, "USD")).toBe(shown);
});
