/** What is said before anybody signs. */

import { expect, test } from "vitest";
import { isSettled, unsettledOf } from "../../../../src/app/visit/together/unsettled";
import { stagesOf } from "../../../../src/app/visit/walk-order";
import "../../../together-words";
import { ANA, BEN, DESK, NAMES, visitOf, type Written } from "./two";

const SENT = { where: "server", answered: Date.now() } as const;

function unsettled(
  written: Written[],
  sync: { where: "server" | "phone"; answered: number } = SENT,
) {
  const { visit, people } = visitOf(written);
  return unsettledOf(visit, people, stagesOf(visit), sync);
}

test("one phone has nothing to settle, also beside a stage of its own", () => {
  const alone = unsettled([["taken/outside", true, 1, ANA]]);
  expect(isSettled(alone)).toBe(true);
});

test("conflicts, stages that were not finished, and how old the last of the other phone is", () => {
  const found = unsettled([
    ...NAMES,
    ["taken/outside", true, 1, BEN],
    ["taken/underneath", true, 1, ANA],
    ["items/brakes.fluid/grade", { grade: "none" }, 2, BEN],
    ["items/body.doors/grade", { grade: "none" }, 3, BEN],
    ["items/brakes.pads/grade", { grade: "minor" }, 4, ANA],
    ["items/brakes.pads/grade", { grade: "major" }, 65, BEN],
  ]);
  expect(found.conflicts.map(({ put }) => put)).toEqual(["items/brakes.pads/grade"]);
  // the other's is done, one's own is not
  expect(found.stages.map(({ stage, who, done, total }) => [stage, who, done, total])).toEqual([
    ["underneath", "You", 1, 4],
  ]);
  expect(found.heard).toEqual([{ who: "Ben", when: "1:05 PM" }]);
  expect(found.unreached).toBe(null);
});

test("a phone that does not reach the server says since when", () => {
  const out = { where: "phone", answered: new Date().setHours(9, 30) } as const;
  expect(unsettled(NAMES, out).unreached).toBe("9:30 AM");
  expect(unsettled(NAMES, { ...out, answered: 0 }).unreached).toBe(null);
});

test("what the desk wrote unseen is a conflict too", () => {
  const found = unsettled([
    ["items/brakes.pads/grade", { grade: "minor" }, 4, ANA],
    ["items/brakes.pads/grade", { grade: "major" }, 5, DESK],
  ]);
  expect(found.conflicts[0]?.sides.map(({ who }) => who)).toEqual(["The desk", "You"]);
  expect(isSettled(found)).toBe(false);
});
