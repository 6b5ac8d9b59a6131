/** What the stepper writes, the judge reads as that number: the rule of typed numbers is its own. */

import { afterEach, beforeAll, expect, test } from "vitest";
import { milliOf, stepped } from "../../../src/app/text/numbers";
import { region } from "../../../src/app/text/region";
import type { Region, Rule } from "../../../src/shared/contract";
import { ask } from "../../judge";

const HASH = "e".repeat(64);
const ITEM = "example.rest";

beforeAll(async () => {
  const reading = { id: "rest", title: "At rest", quantity: "voltage", units: ["V"], at: [] };
  const rule = { area: "example", title: "Rest", order: 0, stage: "outside", minutes: "1" };
  const items = { [ITEM]: { ...rule, depth: "usual", readings: [reading] } as unknown as Rule };
  const areas = [{ id: "example", title: "Example" }];
  await ask({ ask: "load", bundle: HASH, rules: { items, areas }, start: true });
});

/** What the judge makes of a typed voltage, as its own text; null where it finds no number. */
async function judged(typed: string, at: Region): Promise<string | null> {
  const put = `items/${ITEM}/readings/rest/one`;
  const cells = { [put]: { value: { typed, unit: "V" }, at: "", others: [] } };
  const car = { "about/region": { value: at, at: "", others: [] } };
  const question = { bundle: HASH, item: ITEM, cells, car, today: "2026-11-25" };
  const { item } = await ask({ ask: "item", ...question });
  const value = item.facts.rest?.value;
  return value === undefined || value === null ? null : String(value);
}

afterEach(() => {
  region.value = "us";
});

test.each<[string, Region]>([
  ["12,4", "eu"],
  ["12.4", "eu"],
  ["0,5", "eu"],
  ["12,45", "eu"],
  ["12.4", "us"],
  ["0.5", "us"],
  ["1,250", "us"],
  ["7", "us"],
])("a step from %s in %s", async (typed, at) => {
  region.value = at;
  for (const isUp of [true, false]) {
    const written = stepped(typed, "V", isUp);
    const milli = (milliOf(typed) as number) + (isUp ? 100 : -100);
    expect(Number(await judged(written, at))).toBeCloseTo(milli / 1000, 9);
  }
});

test("what the stepper leaves alone, because it is no decimal number, the judge still may read", async () => {
  for (const typed of ["1/2", "1 1/2"]) {
    expect(stepped(typed, "V", true)).toBe(typed);
    expect(await judged(typed, "us")).not.toBeNull();
  }
  expect(milliOf("twelve")).toBeNull();
  expect(await judged("twelve", "us")).toBeNull();
});
