/** What is left, in dispute, from this phone: each filter against a plain count of the record. */

import { beforeAll, describe, expect, test } from "vitest";
import type { Page } from "../../../src/app/state/page";
import { findables } from "../../../src/app/visit/find/finding";
import { Narrowed, narrowingIn, STATES, shownBy } from "../../../src/app/visit/find/narrowing";
import { Visit } from "../../../src/app/visit/visit";
import { canHurt, restOf } from "../../../src/app/visit/walk-order";
import type { Assessment, ItemJudgment } from "../../../src/shared/contract";
import type { Cells, Json } from "../../../src/shared/event";
import { bundle, item, newPage, visitId } from "../pages";

const OWN = "aa".repeat(16);
const OTHER = "bb".repeat(16);

let page: Page;
beforeAll(() => {
  page = newPage();
});

const stamp = (device: string) => `000001700000000-00001-${device}`;

function cell(value: Json, device = OWN, others: Json[] = []) {
  const beside = others.map((other) => ({ value: other, at: stamp(OTHER) }));
  return { value, at: stamp(device), others: beside };
}

function visitOf(cells: Cells, judged: Record<string, Partial<ItemJudgment>> = {}): Visit {
  const items = Object.fromEntries(
    bundle.items.map(({ id }) => [
      id,
      { applies: true, asked: true, state: "open", grade: null, problems: [], ...judged[id] },
    ]),
  );
  return Visit.of(page, visitId, bundle, cells, { items, areas: [] } as unknown as Assessment);
}

const ids = (visit: Visit, shows: string) =>
  new Narrowed(visit, narrowingIn(shows), OWN).of(bundle.items).map(({ id }) => id);

describe("a list of checks", () => {
  const visit = () =>
    visitOf(
      {
        "items/brakes.pads/grade": cell({ grade: "uninspected" }),
        "items/brakes.hoses/grade": cell({ grade: "minor" }, OTHER, [{ grade: "none" }]),
        "items/brakes.fluid/note": cell("wet", OTHER),
        "items/body.doors/grade": cell(null, OWN),
      },
      {
        "brakes.pads": { state: "uninspected", grade: "uninspected" },
        "brakes.hoses": { state: "done", grade: "minor", conflict: true },
        "body.seams": { asked: false },
        "body.sills": { problems: [{ code: "doubt" }] as unknown as ItemJudgment["problems"] },
      },
    );

  test("has what is left, and what was cleared is left again", () => {
    expect(ids(visit(), "left")).toEqual(["brakes.fluid", "body.doors", "body.sills"]);
  });

  test("has what was not checked, what is in dispute, what is from this phone, what is not asked", () => {
    expect(ids(visit(), "uninspected")).toEqual(["brakes.pads"]);
    expect(ids(visit(), "disputed")).toEqual(["brakes.hoses", "body.sills"]);
    expect(ids(visit(), "mine")).toEqual(["brakes.pads"]);
    expect(ids(visit(), "unasked")).toEqual(["body.seams"]);
    expect(ids(visit(), "all")).toHaveLength(5);
    expect(ids(visit(), "")).toHaveLength(6);
  });

  test("is narrowed by area, step and safety at once", () => {
    expect(ids(visit(), "all.area=brakes")).toHaveLength(3);
    expect(ids(visit(), "all.area=brakes.stage=underneath")).toEqual([
      "brakes.pads",
      "brakes.hoses",
    ]);
    expect(ids(visit(), "all.safety")).toEqual(["brakes.pads"]);
  });

  test("leads back from its address", () => {
    for (const state of [null, ...STATES]) {
      for (const safety of [true, false]) {
        const by = { state, safety, area: "brakes", stage: "" };
        expect(narrowingIn(shownBy(by))).toEqual(by);
      }
    }
  });
});

describe("what can hurt somebody", () => {
  test("is never marked OK together with other checks", () => {
    const choice = [{ id: "gone", title: "Gone", grade: "dangerous" as const }];
    const hurting = [
      item("a.essential", { drive: "essential" }),
      item("a.weighty", { danger: 3 }),
      item("a.choice", { choices: choice }),
      item("a.limit", { limits: [{ of: "x", grade: "dangerous", source: "practice" }] }),
    ];
    expect(hurting.every(canHurt)).toBe(true);
    const harmless = item("a.harmless", { danger: 2 });
    expect(restOf([...hurting, harmless])).toEqual([harmless]);
  });
});

describe("what can be found", () => {
  test("is a check by its own note, a fact by its value, a finding in somebody's own words", () => {
    const visit = visitOf({
      "items/brakes.pads/note": cell("grinding noise"),
      "items/body.own-1/text": cell("Hitch welded on"),
      "car/vin": cell("1ABC23"),
      "car/odometer": cell({ typed: "142000", unit: "mi" }),
      "car/id": cell("f00d"),
    });
    const { entries } = findables(visit);
    const texts = Object.fromEntries(
      entries.map(({ id, texts }) => [id, texts.map(({ text }) => text).join(" | ")]),
    );
    expect(texts["brakes.pads"]).toContain("grinding noise");
    expect(texts["body.own-1"]).toContain("Hitch welded on");
    expect(texts["car/vin"]).toBe("VIN 1ABC23");
    expect(texts["car/odometer"]).toBe("Odometer 142000");
    expect(texts["car/id"]).toBeUndefined();
    expect(texts["area/brakes"]).toBe("Brakes");
  });
});
