import { afterEach, expect, test } from "vitest";
import { catalogue } from "../../../src/app/text/catalogue";
import {
  ago,
  duration,
  listed,
  money,
  readable,
  readableDay,
  size,
} from "../../../src/app/text/formats";

afterEach(() => catalogue.load());

const MINUTE_MS = 60_000;

test.each([
  [29_000, "less than a minute"],
  [MINUTE_MS, "1 min"],
  [59 * MINUTE_MS, "59 min"],
  [60 * MINUTE_MS, "1 hour"],
  [47 * 60 * MINUTE_MS, "47 hours"],
  [48 * 60 * MINUTE_MS, "2 days"],
  [10 * 24 * 60 * MINUTE_MS, "10 days"],
])("%i ms are said as %o", (ms, words) => {
  expect(duration(ms)).toBe(words);
});

test("what lies ahead by a wrong clock is no time ago", () => {
  expect(ago(5_000 * MINUTE_MS, 0)).toBe("less than a minute");
  expect(ago(0, 5 * MINUTE_MS)).toBe("5 min");
});

test("a size is rounded up to whole megabytes, or to a tenth of a gigabyte", () => {
  expect([40_000, 12_000_000, 10_737_000_000].map(size)).toEqual(["1 MB", "12 MB", "10.7 GB"]);
});

// forms of money, dates and lists: Unicode CLDR 44, as the engine's own ICU has it
test("money is whole, with the sign of its currency, or with what is none behind it", () => {
  expect(money(1250, "USD")).toBe("$1,250");
  expect(money(-300.4, "USD")).toBe("-$300");
  expect(money(1250, "EUR")).toBe("€1,250");
  expect(money(1250, "Taler")).toBe("1,250 Taler");
  expect(money(7, "")).toBe("7");
});

test("a day and a moment are written as an American does, and marked for the pseudo-locale", async () => {
  expect(readableDay("2026-11-05")).toBe("Nov 5, 2026");
  expect(readable(new Date(2026, 10, 5, 9, 7).getTime())).toMatch(/^Nov 5, 2026, 9:07\sAM \S+$/);
  await catalogue.load("en-XA");
  expect(readableDay("2026-11-05")).toBe("Ńóṽ 5, 2026");
});

test("a list has commas and no last word", () => {
  expect(listed(["hood", "roof", "trunk lid"])).toBe("hood, roof, trunk lid");
});
