/** Which reasons stand first where one decides, and that none stands there twice. */

import { expect, test } from "vitest";
import { reasonsThatCount } from "../../../src/app/visit/reasons-that-count";
import type { Assessment } from "../../../src/shared/contract";

const said = (id: string) => ({ id });

/** What the list is made of, as the judge gives it. */
const ASSESSMENT = {
  drive_home: {
    answer: "trailer",
    said: said("judge-answer-trailer"),
    reasons: [
      { item: "brakes.pipes", said: said("unsafe"), seen: true },
      { item: "road.stop", said: said("nobody looked"), seen: false },
    ],
  },
  decision: {
    overruled: [{ item: "rust.frame", said: said("called milder") }],
    answers: {
      buy: [
        { item: "rust.frame", said: said("the verdict's own") },
        { item: "papers.title", said: said("against buying") },
        { item: "", said: said("of no check") },
      ],
    },
  },
  money: {
    price: {
      arguments: [
        { item: "tires", said: said("cheap"), amount: 100 },
        { item: "brakes.pipes", said: said("costs too"), amount: 900 },
        { item: "clutch", said: said("dear"), amount: 700 },
      ],
    },
  },
} as unknown as Assessment;

test("what hurts comes first, then what ends the deal, then money; a check stands there once", () => {
  expect(reasonsThatCount(ASSESSMENT).map(({ said }) => said.id)).toEqual([
    "unsafe",
    "called milder",
    "against buying",
    "of no check",
    "dear",
    "cheap",
  ]);
});

test("what work has mended no longer counts against the drive", () => {
  const now = { drive_home: { ...ASSESSMENT.drive_home, answer: "drive", reasons: [] } };
  const [first] = reasonsThatCount({ ...ASSESSMENT, now } as unknown as Assessment);
  expect(first?.said.id).toBe("called milder");
});
