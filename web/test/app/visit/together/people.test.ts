/** Who is there and who has which stage: names by each phone's own word, turns of the walk. */

import { expect, test } from "vitest";
import { People } from "../../../../src/app/visit/together/people";
import {
  farText,
  heldStages,
  takingChange,
  turnsOf,
} from "../../../../src/app/visit/together/stages-taken";
import { nextOpen, stagesOf } from "../../../../src/app/visit/walk-order";
import "../../../together-words";
import { ANA, at, BEN, cellsOf, DESK, known, NAMES, visitOf, type Written } from "./two";

const CY = "c".repeat(32);

test("a phone's person is named by that phone alone", () => {
  const forged: Written = [`people/${CY}`, { name: "Ben" }, 5, BEN];
  const cells = cellsOf([...NAMES, forged, ["items/body.doors/note", "x", 6, CY]]);
  const people = new People(known, cells);
  expect(people.nameOf(ANA)).toBe("You");
  expect(people.nameOf(BEN)).toBe("Ben");
  expect(people.nameOf(CY)).toBe("Phone 2");
  expect(people.nameOf(DESK)).toBe("The desk");
  expect(people.ownName()).toBe("Ana");
  expect(people.others).toEqual([BEN, CY]);
});

test("what it was called when it was paired is better than nothing; the usual word is nothing", () => {
  const cells = cellsOf([["items/body.doors/note", "x", 6, CY]]);
  const named = (name: string) =>
    new People({ ...known, paired: { [CY]: name } }, cells).nameOf(CY);
  expect(named("Red phone")).toBe("Red phone");
  expect(named("Phone")).toBe("Phone 2");
});

test("a phone that goes on under a new number is still one phone, in a circle too", () => {
  const continues = { [CY]: BEN, [ANA]: "e".repeat(32), ["e".repeat(32)]: ANA };
  const cells = cellsOf([...NAMES, ["items/body.doors/note", "x", 6, CY]]);
  const people = new People({ ...known, continues }, cells);
  expect(people.others).toEqual([BEN]);
  expect(people.nameOf(CY)).toBe("Ben");
  expect(people.last.get(BEN)).toBe(at(6, CY));
});

test("with one phone and the desk there is nobody else", () => {
  const { visit, people } = visitOf([
    ["taken/outside", true, 1, ANA],
    ["about/asking_price", "900", 2, DESK],
  ]);
  expect(people.others).toEqual([]);
  expect(turnsOf(visit, people)).toEqual({});
});

test("whose a stage is, and how far it is", () => {
  const { visit, people } = visitOf([
    ...NAMES,
    ["taken/underneath", true, 1, BEN],
    ["taken/outside", null, 2, BEN],
    ["items/brakes.pads/grade", { grade: "none" }, 3, BEN],
  ]);
  const held = heldStages(visit, people, stagesOf(visit));
  expect(held.map(({ stage, who, done, total }) => [stage, who, done, total])).toEqual([
    ["underneath", "Ben", 1, 4],
  ]);
  expect(held.map(farText)).toEqual(["Ben: 1 of 4"]);
  expect(takingChange("outside", false)).toEqual({ put: "taken/outside", value: null });
});

test("one's own stage comes first, then nobody's, then the other's; never away from where one is", () => {
  const underneath = (device: string): Written => ["taken/underneath", true, 1, device];
  const next = (written: Written[], from: string | null) => {
    const { visit, people } = visitOf([...NAMES, ...written]);
    return nextOpen(stagesOf(visit), from, turnsOf(visit, people))?.page.id;
  };
  expect(next([], null)).toBe("outside");
  expect(next([underneath(ANA)], null)).toBe("underneath");
  expect(next([underneath(BEN)], null)).toBe("outside");
  expect(next([underneath(BEN)], "underneath")).toBe("underneath");
  const outside = ["brakes.fluid", "body.doors"].map(
    (id): Written => [`items/${id}/grade`, { grade: "none" }, 2, ANA],
  );
  // all that is left is his: it is still offered
  expect(next([underneath(BEN), ...outside], null)).toBe("underneath");
});
