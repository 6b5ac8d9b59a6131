/** What is recorded of a typed reading, and in which unit it is asked for. */

import { afterEach, expect, test } from "vitest";
import { region } from "../../../src/app/text/region";
import {
  shownTyped,
  typedValue,
  unitKind,
  usualUnit,
} from "../../../src/app/visit/items/item-readings";
import type { Reading } from "../../../src/shared/contract";

const PLAY = reading("play", "length", ["mm", "in"]);
const TREAD = reading("tread", "length", ["mm", "in/32"]);
const DONE_ON = reading("done_on", "date", []);
const DONE_AT = reading("done_at", "distance", ["km", "mi"]);

function reading(id: string, quantity: string, units: string[]): Reading {
  return { id, title: id, quantity, units, at: [] };
}

afterEach(() => {
  region.value = "us";
});

test.each([
  [PLAY, " .1875 ", { typed: ".1875", unit: "in" }],
  [PLAY, "3/16", { typed: "3/16", unit: "in" }],
  // one mark before three digits is read as the region writes it, and said so
  [PLAY, "1.181", { typed: "1.181", unit: "in", read: "1.181" }],
  [PLAY, "1,300", { typed: "1,300", unit: "in", read: "1300" }],
  [DONE_AT, "113,000", { typed: "113,000", unit: "in" }],
  // what only a European means something by is kept, and not taken for a figure
  [PLAY, "2,5", { typed: "2,5", unit: "in", read: "" }],
  [PLAY, "a lot", { typed: "a lot", unit: "in" }],
  [PLAY, "  ", null],
])("an American's %o", (taken, typed, value) => {
  expect(typedValue(taken, typed, "in")).toEqual(value);
});

test("what a European's figure may mean is left to be asked", () => {
  region.value = "eu";
  expect(typedValue(PLAY, "1,300", "mm")).toEqual({ typed: "1,300", unit: "mm" });
  expect(typedValue(PLAY, "2,5", "mm")).toEqual({ typed: "2,5", unit: "mm" });
});

test("a date is recorded as it was typed and read, and shown as it was understood", () => {
  const value = typedValue(DONE_ON, "3/4/2022", "");
  expect(value).toEqual({ typed: "3/4/2022", unit: "", read: "2022-03-04" });
  expect(shownTyped(DONE_ON, value)).toBe("Mar 4, 2022");
  expect(typedValue(DONE_ON, "Jun 2022", "")).toEqual({ typed: "Jun 2022", unit: "" });
  expect(shownTyped(DONE_ON, { typed: "2022-06", unit: "" })).toBe("Jun 2022");
  expect(shownTyped(DONE_ON, { typed: "long ago", unit: "" })).toBe("long ago");
  expect(shownTyped(PLAY, { typed: ".1875", unit: "in" })).toBe(".1875");
  region.value = "eu";
  expect(typedValue(DONE_ON, "3/4/2022", "")).toEqual({ typed: "3/4/2022", unit: "" });
  expect(shownTyped(DONE_ON, { typed: "3.4.2022", unit: "", read: "2022-04-03" })).toBe(
    "3 Apr 2022",
  );
});

test("a choice of unit sticks to its kind of reading, and to no other", () => {
  expect(usualUnit(PLAY, {})).toBe("in");
  expect(usualUnit(TREAD, {})).toBe("in/32");
  const chosen = { [unitKind(PLAY)]: "mm" };
  expect(usualUnit(PLAY, chosen)).toBe("mm");
  expect(usualUnit(TREAD, chosen)).toBe("in/32");
  expect(usualUnit({ ...PLAY, units: ["in"] }, chosen)).toBe("in");
  region.value = "eu";
  expect(usualUnit(TREAD, {})).toBe("mm");
});
