/** What a bar code's text says: 49 CFR 565.13 (17 characters, no I, O or Q); labels as they are met. */

import { expect, test } from "vitest";
import { vinIn } from "../../src/shared/vin-code";

const VIN = "5ZZKD33W0PT104417";

test.each([
  ["as it is", VIN],
  ["small letters", VIN.toLowerCase()],
  ["Code 39's asterisks", `*${VIN}*`],
  ["an import label's I", `I${VIN}`],
  ["both", `*i${VIN}*`],
  ["in groups", "5ZZ KD33W0 PT104417"],
  ["a line's end", `${VIN}\r\n`],
  ["in an address of the web", `https://recall.example/?vin=${VIN}&year=1993`],
  ["among the fields of a registration", `DL7KD418;${VIN};1993`],
])("%s", (_name, text) => {
  expect(vinIn(text)).toEqual({ is: "vin", vin: VIN });
});

test.each([
  ["I", "5ZZKD33W0PT10441I", 17],
  ["O", "5ZZKDO3W0PT104417", 6],
  ["Q", "qZZKD33W0PT104417", 1],
])("%s is no letter of a VIN, and its place is said", (letter, text, position) => {
  expect(vinIn(text)).toMatchObject({ is: "forbidden", letter, position });
});

test.each([
  ["too short", VIN.slice(1)],
  ["too long", `${VIN}7`],
  ["a part number", "12-4477 REV C"],
  ["a word of 17 letters", "PREPARE-HYPERSENSWTWVENESS-NOW"],
  ["two numbers: which is this car's?", `${VIN};11111111111111111`],
  ["nothing", " "],
])("%s is no VIN", (_name, text) => {
  expect(vinIn(text).is).toBe("other");
});

test("an I that belongs to 17 characters is not taken for an import label's", () => {
  expect(vinIn(`I${VIN.slice(1)}`)).toMatchObject({ is: "forbidden", position: 1 });
});
