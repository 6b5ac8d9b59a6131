/** What a tap on the must-haves records; the table is the desk's too (tests/inspection/test_wants.py). */

import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
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
import type { Change } from "../../../src/app/visit/visit";
import type { WantRule } from "../../../src/shared/contract";
import type { Cells, Json } from "../../../src/shared/event";

interface Case {
  what: string;
  values: Record<string, Json>;
  ids: string[];
  up: Record<string, string[]>;
  add: Record<string, string[]>;
  taking?: Record<string, Json>;
  copied?: Record<string, Json>;
}

const FILE = fileURLToPath(new URL("../../../../tests/inspection/wants.json", import.meta.url));
const TABLE = JSON.parse(readFileSync(FILE, "utf8")) as Case[];

function cells(values: Record<string, Json>): Cells {
  return Object.fromEntries(
    Object.entries(values).map(([put, value]) => [put, { value, at: "1", others: [] }]),
  );
}

function values(changes: Change[]): Record<string, Json> {
  return Object.fromEntries(changes.map(({ put, value }) => [put, value]));
}

function ids(of: Record<string, Json>): string[] {
  return wantsIn(cells(of)).map(({ id }) => id);
}

describe("wants in a record", () => {
  test.each(TABLE)("$what", (one) => {
    const wants = wantsIn(cells(one.values));
    const musts = wants.filter(({ side }) => side === "must");
    expect(wants.map(({ id }) => id)).toEqual(one.ids);
    for (const [id, after] of Object.entries(one.up)) {
      expect(ids({ ...one.values, ...values(moveUp(musts, id)) })).toEqual(after);
    }
    for (const [id, after] of Object.entries(one.add)) {
      expect(ids({ ...one.values, ...values(addMusts(musts, [id])) })).toEqual(after);
    }
    for (const id of one.ids) {
      const left = { ...one.values, ...values(drop(cells(one.values), id)) };
      expect(ids(left)).toEqual(one.ids.filter((other) => other !== id));
    }
    if (one.copied !== undefined) {
      expect(values(copied(cells(one.values), cells(one.taking ?? {})))).toEqual(one.copied);
    }
  });

  test("a line of one's own has what tells of it beside its words", () => {
    const own = addOwn([], "leave", "Smells", { figure: { of: "asking", above: 4000 } });
    expect(own.map(({ put }) => put.split("/")[2])).toEqual(["leave", "words", "figure"]);
  });

  test("what fits the uses is offered first, and nothing twice", () => {
    const rule = (id: string, uses: string[]): WantRule => {
      return { id, title: id, side: "must", uses, checks: [], source: "practice" };
    };
    const rules = [rule("a", ["show"]), rule("d", ["load"]), rule("e", ["show", "load"])];
    const taken = wantsIn(cells({ "wants/a/must": 1 }));
    const { fitting, others } = offered(rules, taken, "must", ["show"]);
    expect(fitting.map(({ id }) => id)).toEqual(["e"]);
    expect(others.map(({ id }) => id)).toEqual(["d"]);
  });
});
