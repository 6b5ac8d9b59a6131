import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { cleanNumber, milliOf, stepped, usesComma } from "../../../src/app/text/numbers";
import { region } from "../../../src/app/text/region";

// decimal marks and grouping: Unicode CLDR 44, as the engine's own ICU has it
describe("a step", () => {
  // in the United States a comma groups thousands and nothing else
  beforeEach(() => {
    region.value = "eu";
  });
  afterEach(() => {
    region.value = "us";
  });

  test.each([
    // typed, unit, up, the person's language writes commas, written
    ["2,5", "mm", true, false, "3"],
    ["2,5", "bar", true, false, "2,6"],
    ["2.5", "bar", true, true, "2.6"],
    ["2,05", "bar", false, false, "1,95"],
    ["0,1", "V", false, false, "0"],
    ["0", "V", false, true, "0"],
    ["", "V", true, true, "0,1"],
    ["", "V", true, false, "0.1"],
    ["12", "V", true, true, "12,1"],
    ["12.45", "V", true, true, "12.55"],
    ["1 250", "um", true, false, "1260"],
    ["3", "unheard", true, false, "4"],
    ["5/32", "in/32", true, false, "5/32"],
    ["none", "um", true, false, "none"],
  ])("from %o, in %s, up: %s, commas: %s, is %o", (typed, unit, isUp, isCommaUsual, written) => {
    expect(stepped(typed, unit, isUp, isCommaUsual)).toBe(written);
  });

  test("back and forth is where it began, whatever mark was typed", () => {
    for (const mark of [",", "."]) {
      for (let n = 10; n < 300; n += 1) {
        const typed = `${Math.floor(n / 10)}${mark}${n % 10}`;
        const back = stepped(stepped(typed, "V", true, true), "V", false, true);
        expect(milliOf(back)).toBe(n * 100);
        expect(back.includes(mark === "," ? "." : ",")).toBe(
          mark === "," ? false : back.includes(","),
        );
      }
    }
  });
});

test("a step leaves alone what has a comma for a point in the United States", () => {
  expect(stepped("2,5", "mm", true)).toBe("2,5");
  expect(stepped("1,250", "um", true)).toBe("1260");
  expect(stepped("", "V", true)).toBe("0.1");
});

test("which mark a language writes", () => {
  expect([usesComma("en-US"), usesComma("de-AT"), usesComma("fr-FR")]).toEqual([false, true, true]);
});

test("what is no part of a number is not taken, what a gauge says in a word is", () => {
  expect(cleanNumber(" 2,5 mm")).toBe("2,5 ");
  expect(cleanNumber('1 1/2"')).toBe("1 1/2");
  expect(cleanNumber("-0.5abc")).toBe("-0.5");
  expect([cleanNumber("none"), cleanNumber("open")]).toEqual(["none", "open"]);
});
