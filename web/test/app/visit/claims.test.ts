/** Ads and claims as they stand in a record; the record is invented. */

import { expect, test } from "vitest";
import {
  adsOf,
  claimsOf,
  dropClaim,
  keepAd,
  noteClaim,
  notePrice,
  priceIn,
} from "../../../src/app/visit/offer/claims";
import type { Change } from "../../../src/app/visit/visit";
import type { Cells } from "../../../src/shared/event";

function recorded(changes: Change[]): Cells {
  return Object.fromEntries(
    changes.map(({ put, value }, n) => [
      put,
      { value, at: String(n).padStart(3, "0"), others: [] },
    ]),
  );
}

const AD = { text: "Runs.\n$4,200", source: "Board", date: "2026-11-20" };

test("an ad keeps its text to the letter, and every price with its day", () => {
  const { id, changes } = keepAd(AD, 4200);
  const cells = recorded([
    ...changes,
    ...notePrice(id, 4500, "2026-11-22"),
    ...notePrice(id, 3700, "2026-11-28"),
  ]);
  const [ad] = adsOf(cells);
  expect(ad).toMatchObject(AD);
  expect(ad?.prices.map(({ amount, date }) => [amount, date])).toEqual([
    [4200, "2026-11-20"],
    [4500, "2026-11-22"],
    [3700, "2026-11-28"],
  ]);
  expect(cells["about/asking_price"]?.value).toBe(3700);
});

test("an ad without a price asks nothing", () => {
  const { changes } = keepAd(AD, null);
  expect(changes.map(({ put }) => put.split("/").length)).toEqual([2]);
});

test("a claim is noted with who says it and when, and taken back whole", () => {
  const cells = recorded(
    noteClaim({ kind: "new-brakes", words: "new brakes", who: "shop", name: "Ada" }, "2026-11-20"),
  );
  const [claim] = claimsOf(cells);
  expect(claim).toMatchObject({
    ...{ kind: "new-brakes", words: "new brakes", who: "shop", name: "Ada" },
    ...{ date: "2026-11-20", standing: "claimed", photos: [] },
  });
  const left = { ...cells, ...recorded(dropClaim(cells, claim?.id ?? "")) };
  expect(claimsOf(left)).toEqual([]);
});

test.each([
  ["claims/x/kind", 7],
  ["claims/x/who", "seller"],
  ["claims/x/state", { state: "sold" }],
  ["claims/x", "words"],
  ["ads/x", 7],
  ["ads/x/prices/y", { amount: "4200" }],
  ["ads", {}],
])("what is damaged is read as far as it goes: %s", (put, value) => {
  const cells = recorded([{ put, value }]);
  expect(claimsOf(cells)).toEqual([]);
  expect(adsOf(cells).every(({ text, prices }) => text === "" && prices.length === 0)).toBe(true);
});

test.each([
  ["asking $3,500 obo, was $4,000", "$3,500"],
  ["$ 900", "$ 900"],
  ["3500 miles", ""],
  ["", ""],
])("the price of %j is %j", (text, wanted) => {
  expect(priceIn(text)).toBe(wanted);
});
