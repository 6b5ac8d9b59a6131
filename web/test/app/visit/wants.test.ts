/** What a tap on the purpose screen records: places of must-haves, copies for another car. */

import { describe, expect, test } from "vitest";
import {
  addMusts,
  addOwn,
  copied,
  drop,
  moveUp,
  offered,
  wantsIn,
} from "../../../src/app/visit/before/purpose/wants";
import type { WantRule } from "../../../src/shared/contract";
import type { Cells, Json } from "../../../src/shared/event";

function cells(values: Record<string, Json>): Cells {
  return Object.fromEntries(
    Object.entries(values).map(([put, value]) => [put, { value, at: "1", others: [] }]),
  );
}

function ids(of: Cells): string[] {
  return wantsIn(of).map(({ id }) => id);
}

const FIVE = cells({
  "wants/b/must": 1,
  "wants/a/must": 2,
  "wants/c/must": 2,
  "wants/rot/leave": true,
  "wants/x/leave": null,
  "wants/y/words": "nobody's",
  "wants/rot/so": false,
});

describe("wants in a record", () => {
  test("must-haves stand by place, of one place by id, and reasons to leave behind them", () => {
    expect(ids(FIVE)).toEqual(["b", "a", "c", "rot"]);
    expect(wantsIn(FIVE).at(-1)?.so).toBe(false);
    expect(ids(cells({ "wants/": 1, wants: 2, "wants/a": 3, "wants/a/must/b": 4 }))).toEqual([]);
  });

  test("one that is moved up changes its place with the one before it", () => {
    const musts = wantsIn(FIVE).filter(({ side }) => side === "must");
    const after = { ...FIVE };
    for (const { put, value } of moveUp(musts, "c")) {
      after[put] = { value, at: "2", others: [] };
    }
    expect(ids(after)).toEqual(["b", "c", "a", "rot"]);
    expect(moveUp(musts, "b")).toEqual([]);
  });

  test("a new one stands last, and taking one back takes all of it", () => {
    expect(addMusts(wantsIn(FIVE), ["d", "e"])).toEqual([
      { put: "wants/d/must", value: 3 },
      { put: "wants/e/must", value: 4 },
    ]);
    const own = addOwn([], "leave", "Smells", { figure: { of: "asking", above: 4000 } });
    expect(own.map(({ put }) => put.split("/")[2])).toEqual(["leave", "words", "figure"]);
    expect(drop(FIVE, "rot").map(({ put }) => put)).toEqual(["wants/rot/leave", "wants/rot/so"]);
  });

  test("another car gets the same wants and keeps what is known of it", () => {
    const other = cells({ "wants/a/must": 1, "wants/z/leave": true, "wants/a/so": true });
    const after = { ...other };
    for (const { put, value } of copied(FIVE, other)) after[put] = { value, at: "2", others: [] };
    expect(ids(after)).toEqual(["b", "a", "c", "rot"]);
    expect(after["wants/a/so"]?.value).toBe(true);
    expect(after["wants/rot/so"]).toBeUndefined();
  });

  test("what fits the uses is offered first, and nothing twice", () => {
    const rule = (id: string, uses: string[]): WantRule => {
      return { id, title: id, side: "must", uses, checks: [], source: "practice" };
    };
    const rules = [rule("a", ["show"]), rule("d", ["load"]), rule("e", ["show", "load"])];
    const { fitting, others } = offered(rules, wantsIn(FIVE), "must", ["show"]);
    expect(fitting.map(({ id }) => id)).toEqual(["e"]);
    expect(others.map(({ id }) => id)).toEqual(["d"]);
  });
});
