/**
 * The drive home as it stands in a record. Stops after 5 and 20 miles and every 50 are common practice,
 * no source; the record and its table are invented.
 */

import { expect, test } from "vitest";

import "../../after-words";

import {
  badRows,
  distanceAt,
  figureOf,
  findingOf,
  nextStop,
  replyChanges,
  replyOf,
  rowsAt,
  stateOf,
} from "../../../src/app/visit/after/driving";
import type { VisitView } from "../../../src/app/visit/visit-view";
import type { DriveSign, Driving } from "../../../src/shared/contract";
import type { Cells, Json } from "../../../src/shared/event";

const LEG = { unit: "mi", first: ["5", "20"], every: "50", source: "practice" } as const;

function sign(id: string, when: DriveSign["when"], places: string[] = []): DriveSign {
  const choices = (["fine", "bad"] as const).map((answer) => ({ id: answer, title: answer }));
  const said = { title: id, how: "Look.", text: "Stop.", cautions: [], source: "practice" };
  return { id, when, places, choices, area: "brakes", grade: "dangerous", does: "fix", ...said };
}

const DRIVING: Driving = {
  legs: [{ ...LEG, first: [...LEG.first] }],
  signs: [
    sign("nuts", ["start", "first"]),
    sign("hub", ["stop"], ["front-left", "front-right"]),
    sign("lights", ["start"]),
  ],
  watch: [],
  kit: [],
};

function visit(values: Record<string, Json>, mended: string[] = [], others: Cells = {}): VisitView {
  const cells: Cells = Object.fromEntries(
    Object.entries(values).map(([put, value]) => [put, { value, at: put, others: [] }]),
  );
  const all = { ...cells, ...others };
  const below = (start: string, is: boolean) =>
    Object.fromEntries(Object.entries(all).filter(([put]) => put.startsWith(start) === is));
  return {
    besideItems: () => below("items/", false),
    cellsOf: (item: string) => below(`items/${item}/`, true),
    value: (put: string) => all[put]?.value ?? null,
    mended: { value: new Set(mended) },
    bundle: {
      profile: [
        {
          id: "wheels",
          title: "Wheels",
          facts: [{ id: "sticker", title: "", fills: ["tyres.pressure/sticker"] }],
        },
      ],
    },
  } as unknown as VisitView;
}

const bad = { answer: "bad" };
const fine = { answer: "fine" };

test("one stops after 5 and 20 miles, then every 50", () => {
  const leg = DRIVING.legs[0];
  if (leg === undefined) throw new Error("no leg");
  expect([1, 2, 3, 4, 5].map((stop) => distanceAt(leg, stop))).toEqual([5, 20, 50, 100, 150]);
});

test("lug nuts are asked before and at the first stop, hubs at each stop and wheel", () => {
  const asked = (stop: number) =>
    rowsAt(DRIVING, stop).map(({ sign: { id }, place }) => [id, place]);
  expect(asked(0)).toEqual([
    ["nuts", ""],
    ["lights", ""],
  ]);
  expect(asked(1)).toEqual([
    ["nuts", ""],
    ["hub", "front-left"],
    ["hub", "front-right"],
  ]);
  expect(asked(7)).toEqual([
    ["hub", "front-left"],
    ["hub", "front-right"],
  ]);
});

test("the next stop is the first that is not answered whole or has something bad that stands", () => {
  const before = { "drive/0/nuts": fine, "drive/0/lights": fine };
  expect(nextStop(visit({}), DRIVING)).toBe(0);
  expect(nextStop(visit({ "drive/0/nuts": fine }), DRIVING)).toBe(0);
  expect(nextStop(visit(before), DRIVING)).toBe(1);
  const loose = { ...before, "drive/0/nuts": bad };
  expect(nextStop(visit(loose), DRIVING)).toBe(0);
  expect(badRows(visit(loose), DRIVING).map(findingOf)).toEqual(["brakes.own-drive-0-nuts"]);
  const tight = visit(loose, ["brakes.own-drive-0-nuts"]);
  expect(nextStop(tight, DRIVING)).toBe(1);
  expect(badRows(tight, DRIVING)).toEqual([]);
  // a table that asks nothing on the way ends there
  expect(nextStop(visit(before), { ...DRIVING, signs: DRIVING.signs.slice(2) })).toBe(1);
});

test("a bad answer brings its finding, another one takes it back", () => {
  const [, , row] = rowsAt(DRIVING, 1);
  const leg = DRIVING.legs[0];
  if (row === undefined || leg === undefined) throw new Error("no row");
  const item = "brakes.own-drive-1-hub-front-right";
  const changes = replyChanges(visit({}), row, "bad", leg);
  expect(changes.map(({ put }) => put)).toEqual([
    "drive/1/hub/front-right",
    `items/${item}/text`,
    `items/${item}/grade`,
  ]);
  expect(changes[2]?.value).toEqual({ grade: "dangerous" });
  const recorded = visit(Object.fromEntries(changes.map(({ put, value }) => [put, value])));
  expect(stateOf(recorded, row)).toBe("bad");
  expect(replyChanges(recorded, row, "fine", leg).slice(1)).toEqual([
    { put: `items/${item}/text`, value: null },
    { put: `items/${item}/grade`, value: null },
  ]);
  expect(replyChanges(visit({}), row, "fine", leg)).toHaveLength(1);
});

test("of two answers that were given unseen of one another the bad one counts", () => {
  const [row] = rowsAt(DRIVING, 0);
  if (row === undefined) throw new Error("no row");
  const cell = { value: fine, at: "2", others: [{ value: bad, at: "1" }] };
  expect(replyOf(visit({}, [], { "drive/0/nuts": cell }), row)).toBe("bad");
  for (const value of [null, "bad", 5, [], { answer: "hot" }]) {
    expect(replyOf(visit({ "drive/0/nuts": value }), row)).toBeNull();
  }
});

test("a figure is the car's own at each place, or none", () => {
  const psi = (typed: string) => ({ typed, unit: "psi" });
  expect(figureOf(visit({}), "sticker")).toBe("");
  expect(
    figureOf(visit({ "car/sticker_front": psi("35"), "car/sticker": "unknown" }), "sticker"),
  ).toContain("35");
  const own = visit({ "items/tyres.pressure/readings/sticker/rear": psi("33") });
  expect(figureOf(own, "sticker")).toContain("33");
  expect(figureOf(visit({ "car/nut_torque": "85 lb-ft" }), "nut_torque")).toBe("85 lb-ft");
});
