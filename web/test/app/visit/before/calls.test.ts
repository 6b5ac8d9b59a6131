/** Calls and look-ups as they stand in a record; the record is invented, the oracle is what was tapped. */

import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import {
  type Answered,
  against,
  answer,
  answered,
  type Call,
  callsOf,
  newCall,
  tapped,
  tellCall,
} from "../../../../src/app/visit/before/going/calls";
import { dropLookup, lookupsOf, noteLookup } from "../../../../src/app/visit/before/going/lookups";
import { claimsOf } from "../../../../src/app/visit/offer/claims";
import type { Change } from "../../../../src/app/visit/visit";
import type { CallQuestion } from "../../../../src/shared/contract";
import type { Cells, Json } from "../../../../src/shared/event";

let stamp = 0;

function after(cells: Cells, changes: Change[]): Cells {
  const written = changes.map(({ put, value }) => {
    stamp += 1;
    return [put, { value, at: String(stamp).padStart(6, "0"), others: [] }];
  });
  return { ...cells, ...Object.fromEntries(written) };
}

function question(id: string, many: boolean, ...answers: string[][]): CallQuestion {
  const rows = answers.map(([own = "", claim = ""]) => ({
    ...{ id: own, title: own, against: own === "bad" },
    ...(claim === "" ? {} : { claim }),
  }));
  return { id, title: id, ask: `${id}?`, many, answers: rows, source: "practice" };
}

const TITLE = question("title", false, ["yes", "title-in-name"], ["bad"], ["unsure"]);
const DONE = question("done", true, ["brakes", "new-brakes"], ["tires", "new-tires"], ["nothing"]);
const CALL = newCall("2026-11-20");

function say(cells: Cells, to: Answered, of: CallQuestion = TITLE): Cells {
  return after(cells, answer(cells, CALL, of, to));
}

/** What the desk records and reads too (`tests/inspection/test_calls.py`). */
const TABLE: {
  call: Call;
  questions: Record<string, CallQuestion>;
  cases: {
    what: string;
    question: string;
    cells: Record<string, Json>;
    to: [string[], string];
    becomes: Record<string, Json>;
    writes?: number;
  }[];
} = JSON.parse(
  readFileSync(
    fileURLToPath(new URL("../../../../../tests/inspection/calls.json", import.meta.url)),
    "utf8",
  ),
);

function cellsOf(values: Record<string, Json>): Cells {
  return after(
    {},
    Object.entries(values).map(([put, value]) => ({ put, value })),
  );
}

test.each(TABLE.cases)(
  "of the table of phone and desk: $what",
  ({ cells, to, becomes, ...more }) => {
    const own = TABLE.questions[more.question];
    if (own === undefined) throw new Error(more.question);
    const [answers, words] = to;
    const known = after(cellsOf(cells), tellCall({}, TABLE.call));
    const changes = answer(known, TABLE.call, own, { answers, words });
    const left = after(known, changes);
    const standing = Object.entries(left).filter(([, { value }]) => value !== null);
    const values = Object.fromEntries(standing.map(([put, { value }]) => [put, value]));
    const { id, who, name, date } = TABLE.call;
    expect(values).toEqual({ ...becomes, [`calls/${id}`]: { role: who, name, date } });
    expect(answered(cellsOf(becomes), TABLE.call, own)).toEqual({ answers, words });
    expect(changes.length).toBe(more.writes ?? changes.length);
  },
);

test("an answer that a check can tell is a claim with who said it and when", () => {
  const cells = say({}, { answers: ["yes"], words: "signed over last week" });
  expect(claimsOf(cells)).toMatchObject([
    {
      kind: "title-in-name",
      words: "signed over last week",
      who: "seller",
      date: "2026-11-20",
      standing: "claimed",
    },
  ]);
  expect(callsOf(cells)).toEqual([CALL]);
  expect(answered(cells, CALL, TITLE)).toEqual({
    answers: ["yes"],
    words: "signed over last week",
  });
});

test("one that no check can tell stays a note of the call, and speaks against going", () => {
  const cells = say({}, { answers: ["bad"], words: "his aunt has it" });
  expect(claimsOf(cells)).toEqual([]);
  expect(cells[`calls/${CALL.id}/title`]?.value).toEqual({
    answers: ["bad"],
    words: "his aunt has it",
  });
  expect(against(cells, CALL, [TITLE, DONE]).map(({ question: { id } }) => id)).toEqual(["title"]);
});

test("another answer takes the claim back whole, and a second tap the answer", () => {
  const first = say({}, { answers: ["yes"], words: "" });
  const other = say(first, tapped(TITLE, answered(first, CALL, TITLE), "bad"));
  expect(claimsOf(other)).toEqual([]);
  expect(answered(other, CALL, TITLE).answers).toEqual(["bad"]);
  const none = say(other, tapped(TITLE, answered(other, CALL, TITLE), "bad"));
  expect(answered(none, CALL, TITLE)).toEqual({ answers: [], words: "" });
  expect(answer(none, CALL, TITLE, { answers: [], words: "" })).toEqual([]);
});

test("of several answers each is its own claim; words alone are kept", () => {
  let cells = say({}, { answers: [], words: "all of it, ask Ada" }, DONE);
  expect(answered(cells, CALL, DONE)).toEqual({ answers: [], words: "all of it, ask Ada" });
  for (const tap of ["brakes", "tires", "nothing"]) {
    cells = say(cells, tapped(DONE, answered(cells, CALL, DONE), tap), DONE);
  }
  const kinds = claimsOf(cells).map(({ kind }) => kind);
  expect(kinds.sort()).toEqual(["new-brakes", "new-tires"]);
  expect(answered(cells, CALL, DONE)).toEqual({
    answers: ["brakes", "tires", "nothing"],
    words: "all of it, ask Ada",
  });
});

test("who was on the phone is who made the claims of that call, and of no other", () => {
  let cells = say({}, { answers: ["yes"], words: "" });
  const other = { ...newCall("2026-11-21"), who: "shop" as const };
  cells = after(cells, answer(cells, other, DONE, { answers: ["brakes"], words: "" }));
  cells = after(cells, tellCall(cells, { ...CALL, who: "owner", name: "Ada" }));
  expect(claimsOf(cells).map(({ kind, who, name }) => [kind, who, name])).toEqual([
    ["title-in-name", "owner", "Ada"],
    ["new-brakes", "shop", ""],
  ]);
  expect(callsOf(cells).map(({ name }) => name)).toEqual(["Ada", ""]);
});

test("look-ups are a dated list, the latest first, and taken back whole", () => {
  let cells = after({}, noteLookup("lien", "bad", "2026-10-01"));
  cells = after(cells, noteLookup("lien", "good", "2026-11-20"));
  const [latest, first] = lookupsOf(cells);
  expect([latest?.result, first?.result]).toEqual(["good", "bad"]);
  cells = after(cells, [{ put: `lookups/${first?.id}/photos/${"a".repeat(64)}`, value: {} }]);
  expect(lookupsOf(cells)[1]?.photos).toHaveLength(1);
  cells = after(cells, dropLookup(cells, first?.id ?? ""));
  expect(lookupsOf(cells)).toEqual([latest]);
});

test.each([
  ["calls/x", 7],
  ["calls/x", { role: 5, date: [] }],
  ["calls/x/title", "words"],
  [`calls/${CALL.id}/title`, { answers: "yes", words: 7 }],
  [`claims/${CALL.id}-title-yes/kind`, "of-another-year"],
  ["lookups/x", "good"],
  ["lookups/x/result", { bad: true }],
  ["lookups", {}],
])("what is damaged is read as far as it goes: %s", (put, value) => {
  const cells = after({}, [{ put, value }]);
  expect(answered(cells, CALL, TITLE)).toEqual({ answers: [], words: "" });
  expect(lookupsOf(cells)).toEqual([]);
  expect(callsOf(cells).length).toBeLessThanOrEqual(1);
});
