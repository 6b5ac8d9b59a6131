/**
 * What is read of labels drawn small, blurred, tilted and pale. The codes are the library's own
 * writer's, after ISO/IEC 16388 (Code 39), 15417 (Code 128), 16022 (Data Matrix), 18004 (QR code) and
 * 15438 (PDF417); what they look like to a camera is drawn here. The browser's tests read a Code 39
 * drawn from the standard's table.
 */

import { beforeAll, expect, test } from "vitest";
import { codesInFrame, codesInStill } from "../../src/codes/reading";
import { vinIn } from "../../src/shared/vin-code";
import { drawn, type Format, type Look, prepare } from "./drawn";

/** The all-ones number that is its own check (49 CFR 565.15(c)): 89 = 8 · 11 + 1. */
const VIN = "11111111111111111";
const OTHER = "5ZZKD33W0PT104417";

beforeAll(prepare);

const ANGLES_DEG = [0, 8, 16, 90];
const LOOKS: Omit<Look, "angle_deg">[] = [
  { module_px: 3, blur_px: 1, contrast: 0.3 },
  { module_px: 2, blur_px: 0.5, contrast: 1 },
  { module_px: 2, blur_px: 1, contrast: 1 },
  { module_px: 2, blur_px: 1.5, contrast: 1 },
];

/** A column for each look, a sign for each angle: x read, . not; nothing is ever read wrong. */
const READ: Record<Format, string> = {
  Code39: "xxxx xxxx xxxx ....",
  Code128: "xxxx xxxx xxxx ....",
  DataMatrix: "xxxx x..x .... ....",
  QRCode: "xxxx xxxx .... ....",
  PDF417: "xxxx xxxx xxxx ....",
};

test.each(Object.keys(READ) as Format[])("%s", async (format) => {
  const columns: string[] = [];
  for (const look of LOOKS) {
    let column = "";
    for (const angle_deg of ANGLES_DEG) {
      const found = await codesInStill(await drawn(OTHER, format, { ...look, angle_deg }));
      const vins = found.map(vinIn).filter(({ is }) => is === "vin");
      if (vins.length > 0) expect(vins).toEqual([{ is: "vin", vin: OTHER }]);
      column += vins.length > 0 ? "x" : ".";
    }
    columns.push(column);
  }
  expect(columns.join(" ")).toBe(READ[format]);
});

test("of a film every picture is tried at another angle, and the label is read at one of them", async () => {
  const label = await drawn(VIN, "Code39", {
    module_px: 3,
    blur_px: 0.5,
    angle_deg: 12,
    contrast: 1,
  });
  const turns = [0, 1, 2, 3, 4, 5, 6];
  const read = await Promise.all(turns.map((turn) => codesInFrame(label, turn)));
  expect(read.flat()).toContain(VIN);
  expect(read.flat().every((text) => text === VIN)).toBe(true);
  // straight it is not read: turning is what reads it
  expect(read[0]).toEqual([]);
});

test("a picture without a code has none", async () => {
  const data = new Uint8ClampedArray(4 * 200 * 100).fill(200);
  expect(await codesInStill({ data, width: 200, height: 100 })).toEqual([]);
});
