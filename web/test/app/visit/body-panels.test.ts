/** Where items lie on the body map: as the checklist says, whatever its items are called. */

import { beforeAll, describe, expect, test } from "vitest";
import type { Page } from "../../../src/app/state/page";
import { onPanel, paintBaseline, stateOf } from "../../../src/app/visit/body/body-panels";
import { Visit } from "../../../src/app/visit/visit";
import type { Assessment, Bundle, Item, Panel, Reading } from "../../../src/shared/contract";
import { bundle, item, newPage, shownVisit, visitId } from "../pages";

let page: Page;
beforeAll(() => {
  page = newPage();
});

const reading = (id: string, quantity: string, at: string[]): Reading => ({
  ...{ id, title: `${id} here`, quantity, units: [], at },
});
const ids = (items: Item[]) => items.map(({ id }) => id);

const bare = (film: string, unit: string) => `${film} ${unit}`;

function checklist(items: Item[]): Bundle {
  return { ...bundle, items };
}

// invented names: nothing here is called as in the real checklist
const thickness = item("coat.thickness", {
  readings: [reading("coat", "film", ["roof-1", "roof-2", "sill-left-1"])],
  body_map: { show: "film", panels: [], places: {} },
});
const slits = item("coat.slits", {
  readings: [reading("slit", "length", ["bonnet-left", "back-left", "back-right"])],
  body_map: {
    ...{ show: "readings", panels: [] },
    places: { "back-left": ["boot-lid"], "back-right": ["boot-lid"] },
  },
});
const bumps = item("coat.bumps", {
  readings: [reading("bump", "code", ["roof", "boot-lid"]), reading("hole", "code", ["roof"])],
  body_map: { show: "marks", panels: [], places: {} },
});
const lips = item("coat.lips", {
  readings: [reading("share", "percent", ["front-left", "rear-left"])],
  body_map: { show: "card", panels: [], places: { "front-left": ["front-wing-left"] } },
});
const folds = item("coat.folds", {
  body_map: { show: "card", panels: ["boot-lid", "front-door-right"], places: {} },
});
const told = checklist([slits, thickness, bumps, lips, folds, item("brakes.pads")]);
const on = (panel: Panel, of = told) => onPanel(shownVisit(page, {}, of), panel);

describe("a checklist that says where its items lie", () => {
  test("a place lies on the panel that it is named after, or that it is said to be on", () => {
    expect(ids(on("roof").readings)).toEqual(["coat.thickness"]);
    expect(on("roof").readings[0]?.readings[0]?.at).toEqual(["roof-1", "roof-2"]);
    expect(on("boot-lid").readings[0]?.readings[0]?.at).toEqual(["back-left", "back-right"]);
    expect(ids(on("bonnet").readings)).toEqual(["coat.slits"]);
    expect(on("rear-door-left")).toEqual({ readings: [], marks: [], cards: [] });
  });

  test("a left sill is not the right one, and a front wing not the front door", () => {
    expect(ids(on("sill-left").readings)).toEqual(["coat.thickness"]);
    expect(on("sill-right").readings).toEqual([]);
    expect(ids(on("front-wing-left").cards)).toEqual(["coat.lips"]);
    expect(on("front-door-left").cards).toEqual([]);
  });

  test("a card has only the readings of its panel, and lies where its answer stands too", () => {
    expect(on("front-wing-left").cards[0]?.readings[0]?.at).toEqual(["front-left"]);
    expect(ids(on("boot-lid").cards)).toEqual(["coat.folds"]);
    expect(ids(on("front-door-right").cards)).toEqual(["coat.folds"]);
    // named in no place: the rear arch is not on the map
    expect(on("rear-wing-left").cards).toEqual([]);
  });

  test("paint comes first, whatever the order of the checklist", () => {
    const both = checklist([
      { ...slits, readings: [reading("slit", "length", ["roof-1"])] },
      thickness,
    ]);
    expect(ids(on("roof", both).readings)).toEqual(["coat.thickness", "coat.slits"]);
  });
});

test("a checklist that says nothing has on a panel what is measured there, and no cards", () => {
  const silent = checklist(told.items.map(({ body_map: _, ...rest }) => rest));
  expect(ids(on("roof", silent).readings)).toEqual(["coat.thickness"]);
  expect(ids(on("roof", silent).marks)).toEqual(["coat.bumps"]);
  expect(ids(on("bonnet", silent).readings)).toEqual(["coat.slits"]);
  // where wheels are is measured too, and no panel
  for (const panel of ["roof", "bonnet", "sill-left"] as const)
    expect(on(panel, silent).cards).toEqual([]);
});

test("a panel shows what the judge says of its paint, and the marks that are on", () => {
  const facts = {
    baseline: { said: { id: "judge-plan-done" } },
    "panel.roof": { value: "900", unit: "um" },
    "deviation.roof": { value: "790" },
    "finish.roof": { value: "filler" },
  };
  const assessment = { items: { "coat.thickness": { facts } }, areas: [] };
  const cells = {
    "items/coat.bumps/readings/hole/roof": { value: { typed: "yes" }, at: "", others: [] },
    "items/coat.bumps/readings/bump/roof": { value: null, at: "", others: [] },
  };
  const visit = Visit.of(page, visitId, told, cells, assessment as unknown as Assessment);
  expect(stateOf(visit, "roof", bare)).toEqual({
    ...{ film: "900", shown: "900 um", deviation: "790", unit: "um", finish: "filler" },
    marks: [{ id: "hole", title: "hole here" }],
  });
  expect(stateOf(visit, "bonnet", bare)).toEqual({
    ...{ film: "", shown: "", deviation: "", unit: "", finish: null },
    marks: [],
  });
  expect(paintBaseline(visit)).toEqual({ id: "judge-plan-done" });
  expect(paintBaseline(shownVisit(page, {}, checklist([])))).toBeUndefined();
});
