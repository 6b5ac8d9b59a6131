/** Both sides of a conflict in words, with who and when; and who settled it. */

import { expect, test } from "vitest";
import {
  conflictsOf,
  settledOf,
  settlingChanges,
} from "../../../../src/app/visit/together/conflicts";
import "../../../together-words";
import { ANA, at, BEN, DESK, NAMES, visitOf, type Written } from "./two";

const BEAM = "items/body.beam";
const BOTH: Written[] = [
  ...NAMES,
  [`${BEAM}/choice`, "sound", 124, ANA],
  [`${BEAM}/choice`, "holed", 134, BEN],
];

test("the words of both answers, who gave them and when, never an id", () => {
  const { visit, people } = visitOf(BOTH);
  const [conflict, ...more] = conflictsOf(visit, people, "body.beam");
  expect(more).toEqual([]);
  expect(conflict?.about).toBe("Answer");
  expect(conflict?.sides.map(({ who, when, said }) => [who, when, said])).toEqual([
    ["Ben", "2:14 PM", "Rusted through"],
    ["You", "2:04 PM", "Solid"],
  ]);
});

test("a reading stands with its unit under its own name", () => {
  const { visit, people } = visitOf([
    ...NAMES,
    [`${BEAM}/readings/left/one`, { typed: "2.5", unit: "mm" }, 1, ANA],
    [`${BEAM}/readings/left/one`, { typed: "0", unit: "mm" }, 2, BEN],
  ]);
  const [conflict] = conflictsOf(visit, people, null);
  expect(conflict?.about).toBe("Metal left");
  expect(conflict?.sides.map(({ said }) => said)).toEqual(["0 mm", "2.5 mm"]);
});

test("each side has the photos that its person took of it", () => {
  const { visit, people } = visitOf([
    ...BOTH,
    [`${BEAM}/photos/${"1".repeat(64)}`, { taken: "" }, 3, ANA],
    [`${BEAM}/photos/${"2".repeat(64)}`, { taken: "" }, 4, BEN],
    [`${BEAM}/photos/${"3".repeat(64)}`, null, 4, BEN],
  ]);
  const [conflict] = conflictsOf(visit, people, null);
  expect(conflict?.sides.map(({ photos }) => photos)).toEqual([["2".repeat(64)], ["1".repeat(64)]]);
});

test("a price that two people noted is in the list of the whole visit, as money", () => {
  const { visit, people } = visitOf([
    ...BOTH,
    ["about/currency", "USD", 0, ANA],
    ["about/asking_price", "2800", 1, ANA],
    ["about/asking_price", "3000", 2, BEN],
  ]);
  expect(conflictsOf(visit, people, "body.beam")).toHaveLength(1);
  const [price] = conflictsOf(visit, people, null);
  expect(price?.about).toBe("Asking price");
  expect(price?.sides.map(({ said }) => said)).toEqual(["$3,000", "$2,800"]);
});

test("who took a stage or settled something is nothing to settle, nor a reason beside its grade", () => {
  const { visit, people } = visitOf([
    ...NAMES,
    ["taken/outside", true, 1, ANA],
    ["taken/outside", true, 2, BEN],
    [`settled/${BEAM}/choice`, { why: "" }, 1, ANA],
    [`settled/${BEAM}/choice`, { why: "" }, 2, BEN],
    [`${BEAM}/grade`, { grade: "minor" }, 1, ANA],
    [`${BEAM}/grade`, { grade: "major" }, 2, BEN],
    [`${BEAM}/why`, "thin", 1, ANA],
    [`${BEAM}/why`, "holes", 2, BEN],
  ]);
  const [conflict, ...more] = conflictsOf(visit, people, null);
  expect([conflict?.about, more]).toEqual(["Rating", []]);
  expect(settlingChanges(visit, `${BEAM}/grade`, { grade: "minor" }, at(1, ANA))).toEqual([
    { put: `${BEAM}/grade`, value: { grade: "minor" } },
    { put: `${BEAM}/why`, value: "thin" },
  ]);
});

test("whoever writes where two answers stand has settled them, and is named for it", async () => {
  const { visit, people } = visitOf(BOTH);
  await visit.put(settlingChanges(visit, `${BEAM}/choice`, "holed", at(134, BEN)));
  expect(conflictsOf(visit, people, null)).toEqual([]);
  // recorded, so that the other phone and the desk say so too
  expect(visit.value(`settled/${BEAM}/choice`)).toEqual({ why: "" });
  const own = await visit.services.log.identity.get();
  expect(visit.besideItems()[`settled/${BEAM}/choice`]?.at.endsWith(own.device)).toBe(true);
});

test("a settling says who, when and what counts, until it is asked anew or another answer comes", () => {
  const settled: Written[] = [
    ...NAMES,
    [`${BEAM}/choice`, "holed", 140, BEN],
    [`settled/${BEAM}/choice`, { why: "" }, 140, BEN],
  ];
  const said = (written: Written[]) => {
    const { visit, people } = visitOf(written);
    return settledOf(visit, people, "body.beam");
  };
  const [one] = said(settled);
  expect(one).toEqual({
    ...{ put: `${BEAM}/choice`, who: "Ben", isOwn: false, when: "2:20 PM" },
    ...{ about: "Answer", said: "Rusted through" },
  });
  expect(said([...settled, [`${BEAM}/choice`, "sound", 141, ANA]])).toEqual([]);
  const anew: Written = [`settled/${BEAM}/choice`, { reopened: true, why: "again" }, 142, DESK];
  expect(said([...settled, anew])).toEqual([]);
});
