/** Where a reason to pay less lies, as the server has it (tests/inspection/test_paying_less.py). */

import { expect, test } from "vitest";
import cases from "../../../../tests/inspection/paying_less.json";
import { payingLess, whereOf } from "../../../src/app/visit/paying-less";
import type { VisitView } from "../../../src/app/visit/visit-view";
import type { Assessment } from "../../../src/shared/contract";

/** As much of a visit as places are read from. */
function visitOf(
  items: { id: string; where: string; on_car: string[] }[],
  reasons: unknown,
  places: string[],
): VisitView {
  const named = places.map((place, n) => [`${n}`.repeat(64), place] as const);
  const id = items[0]?.id ?? "";
  const cells = named.map(([sha, place]) => [
    `items/${id}/photos/${sha}`,
    { value: { place }, at: "", others: [] },
  ]);
  return {
    bundle: { items, rules: {} },
    item: (id: string) => items.find((one) => one.id === id),
    judged: () => ({ reasons }),
    cellsOf: () => Object.fromEntries(cells),
    value: (put: string) => ({ place: named.find(([sha]) => put.endsWith(sha))?.[1] ?? null }),
  } as unknown as VisitView;
}

test.each(cases)("a finding is told with its place: $why", ({ item, reasons, photos, where }) => {
  expect(whereOf(visitOf([item], reasons, photos), item.id)).toBe(where);
});

test("the four groups stand there with nothing in them too, each job with its places once", () => {
  const where = { a: "roof", b: "roof, front left", c: "left rocker" };
  const items = Object.entries(where).map(([id, place]) => ({
    id,
    where: place,
    on_car: ["body"],
  }));
  const args = { title: "Weld", cost: { money: 300, currency: "USD" }, why: "At the left rocker." };
  const argument = {
    ...{ id: "a/weld", item: "a", covers: ["a", "b", "c"], amount: 300, group: "structure" },
    said: { id: "judge-argument-why", args },
  };
  const price = { arguments: [argument], groups: [{ group: "structure", amount: 300, count: 1 }] };
  const judged = { money: { price }, items: { b: { grade: "major" }, c: { grade: "minor" } } };
  const groups = payingLess(visitOf(items, [], []), judged as unknown as Assessment);
  expect(groups.map(({ group, amount, count }) => [group, amount, count])).toEqual([
    ["safety", 0, 0],
    ["structure", 300, 1],
    ["wear", 0, 0],
    ["service", 0, 0],
  ]);
  expect(groups[1]?.reasons).toEqual([
    {
      ...{ id: "a/weld", title: "Weld", amount: 300, why: "At the left rocker." },
      ...{ where: "roof, front left", covers: ["a", "b", "c"], photos: [], grade: "major" },
    },
  ]);
  // what an older judge said has no groups
  const old = { ...judged, money: { price: { arguments: [argument] } } };
  expect(payingLess(visitOf(items, [], []), old as unknown as Assessment)).toEqual([]);
});
