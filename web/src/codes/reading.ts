/**
 * Bar codes in a picture. Code 39, Code 128 and PDF417 are read along lines of pixels, so that a
 * tilted label is read only once the picture is turned; the others find their own corners.
 */

import { type ReaderOptions, readBarcodes } from "zxing-wasm/reader";
import { vinIn } from "../shared/vin-code";

/** Pixels as a canvas has them: four bytes each, from the top left. */
export interface Pixels {
  data: Uint8ClampedArray<ArrayBuffer>;
  width: number;
  height: number;
}

type Formats = NonNullable<ReaderOptions["formats"]>;

/** What door labels, titles, registrations and windshields bear. */
const IN_LINES: Formats = ["Code39", "Code128", "PDF417"];
const ALL: Formats = [...IN_LINES, "DataMatrix", "QRCode"];
/** At one of them and half-way to the next a label is read; tried in this order. */
const ANGLES_DEG = [0, 6, -6, 12, -12, 18, -18];
const MOST_CODES = 4;

/** The picture in gray, one byte a pixel. */
function grayOf({ data, width, height }: Pixels): Uint8Array {
  const gray = new Uint8Array(width * height);
  for (let at = 0, from = 0; at < gray.length; at += 1, from += 4) {
    const [red, green, blue] = [data[from], data[from + 1], data[from + 2]] as number[];
    gray[at] = ((red as number) * 77 + (green as number) * 151 + (blue as number) * 28) >> 8;
  }
  return gray;
}

/** The picture turned about its middle; what lies beyond its edges is white. */
function turned(pixels: Pixels, angle_deg: number): Pixels {
  const { width, height } = pixels;
  const gray = grayOf(pixels);
  const [sin, cos] = [Math.sin((angle_deg * Math.PI) / 180), Math.cos((angle_deg * Math.PI) / 180)];
  const data = new Uint8ClampedArray(4 * gray.length).fill(255);
  const [midX, midY] = [width / 2, height / 2];
  for (let y = 0, to = 0; y < height; y += 1) {
    let fromX = midX - cos * midX - sin * (y - midY);
    let fromY = midY - sin * midX + cos * (y - midY);
    for (let x = 0; x < width; x += 1, to += 4, fromX += cos, fromY += sin) {
      const [left, top] = [Math.floor(fromX), Math.floor(fromY)];
      if (left < 0 || top < 0 || left >= width - 1 || top >= height - 1) continue;
      const [right, low] = [fromX - left, fromY - top];
      const at = top * width + left;
      const above = (gray[at] as number) * (1 - right) + (gray[at + 1] as number) * right;
      const below =
        (gray[at + width] as number) * (1 - right) + (gray[at + width + 1] as number) * right;
      const level = above * (1 - low) + below * low;
      data[to] = level;
      data[to + 1] = level;
      data[to + 2] = level;
    }
  }
  return { data, width, height };
}

async function textsAt(pixels: Pixels, angle_deg: number, isStill: boolean): Promise<string[]> {
  const picture = angle_deg === 0 ? pixels : turned(pixels, angle_deg);
  const found = await readBarcodes(picture as ImageData, {
    formats: angle_deg === 0 ? ALL : IN_LINES,
    tryHarder: true,
    // lying on its side, too
    tryRotate: true,
    tryInvert: isStill,
    tryDownscale: isStill,
    maxNumberOfSymbols: MOST_CODES,
  });
  return found.filter(({ isValid, text }) => isValid && text !== "").map(({ text }) => text);
}

/** The texts of the codes in one picture of a film; `turn` counts the pictures. */
export async function codesInFrame(pixels: Pixels, turn: number): Promise<string[]> {
  const angle_deg = ANGLES_DEG[turn % ANGLES_DEG.length] ?? 0;
  return [...new Set(await textsAt(pixels, angle_deg, false))];
}

/** The texts of the codes in a still: turned until one of them is a vehicle's number. */
export async function codesInStill(pixels: Pixels): Promise<string[]> {
  const texts = new Set<string>();
  for (const angle_deg of ANGLES_DEG) {
    for (const text of await textsAt(pixels, angle_deg, true)) texts.add(text);
    if ([...texts].some((text) => vinIn(text).is === "vin")) break;
  }
  return [...texts];
}
