/** Labels as a camera sees them: a code of the library's own writer, small, blurred, tilted, pale. */

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { prepareZXingModule as prepareReader } from "zxing-wasm/reader";
import { prepareZXingModule as prepareWriter, writeBarcode } from "zxing-wasm/writer";
import type { Pixels } from "../../src/codes/reading";

const at = createRequire(import.meta.url);

/** Reader and writer from the package's files: in a test there is nobody to fetch them from. */
export function prepare(): void {
  const wasmBinary = (name: string): ArrayBuffer =>
    new Uint8Array(readFileSync(at.resolve(`zxing-wasm/${name}`))).buffer;
  prepareReader({ overrides: { wasmBinary: wasmBinary("reader/zxing_reader.wasm") } });
  prepareWriter({ overrides: { wasmBinary: wasmBinary("writer/zxing_writer.wasm") } });
}

export type Format = "Code39" | "Code128" | "DataMatrix" | "QRCode" | "PDF417";

/** 1 where a module is dark, row by row; the writer's smallest picture, one pixel a module. */
interface Modules {
  dark: Uint8Array;
  width: number;
  height: number;
}

const LINEAR_HEIGHT = 32;

async function modulesOf(text: string, format: Format): Promise<Modules> {
  const { symbol, error } = await writeBarcode(text, { format, scale: 1, addQuietZones: false });
  if (error !== "") throw new Error(error);
  const { data, width, height } = symbol;
  const isLinear = height === 1;
  const rows = isLinear ? LINEAR_HEIGHT : height;
  const dark = new Uint8Array(width * rows);
  for (let y = 0; y < rows; y += 1) {
    for (let x = 0; x < width; x += 1) {
      dark[y * width + x] = (data[(isLinear ? 0 : y) * width + x] as number) < 128 ? 1 : 0;
    }
  }
  return { dark, width, height: rows };
}

export interface Look {
  /** Pixels to a module. */
  module_px: number;
  /** Standard deviation of the blur, px. */
  blur_px: number;
  angle_deg: number;
  /** From 0 (all gray) to 1 (black on white). */
  contrast: number;
}

const SUBPIXELS = 3;
const MARGIN_MODULES = 12;
/** Sensor noise, standard deviation in levels of 255. */
const NOISE = 4;

/** A repeatable sequence of numbers from 0 to 1: Park and Miller's. */
function randoms(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

function blurred(
  levels: Float32Array,
  width: number,
  height: number,
  blur_px: number,
): Float32Array {
  if (blur_px === 0) return levels;
  const reach = Math.ceil(3 * blur_px);
  const kernel = Array.from({ length: 2 * reach + 1 }, (_, n) =>
    Math.exp(-((n - reach) ** 2) / (2 * blur_px ** 2)),
  );
  const sum = kernel.reduce((all, one) => all + one, 0);
  const along = (from: Float32Array, step: number, count: number, line: number, lines: number) => {
    const out = new Float32Array(from.length);
    for (let row = 0; row < lines; row += 1) {
      for (let n = 0; n < count; n += 1) {
        let level = 0;
        for (let k = -reach; k <= reach; k += 1) {
          const near = Math.min(count - 1, Math.max(0, n + k));
          level += (kernel[k + reach] as number) * (from[row * line + near * step] as number);
        }
        out[row * line + n * step] = level / sum;
      }
    }
    return out;
  };
  return along(along(levels, 1, width, width, height), width, height, 1, width);
}

/** The code in the middle of a picture of its own, as the look says. */
export async function drawn(text: string, format: Format, look: Look): Promise<Pixels> {
  const { module_px, blur_px, angle_deg, contrast } = look;
  const { dark, width: across, height: down } = await modulesOf(text, format);
  const [sin, cos] = [Math.sin((angle_deg * Math.PI) / 180), Math.cos((angle_deg * Math.PI) / 180)];
  const room = (along: number, aside: number) =>
    Math.ceil((Math.abs(cos) * along + Math.abs(sin) * aside + 2 * MARGIN_MODULES) * module_px);
  const [width, height] = [room(across, down), room(down, across)];
  const levels = new Float32Array(width * height);
  const [low, high] = [127 - 110 * contrast, 127 + 110 * contrast];
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      let ink = 0;
      for (let part = 0; part < SUBPIXELS * SUBPIXELS; part += 1) {
        const subX = x + ((part % SUBPIXELS) + 0.5) / SUBPIXELS - width / 2;
        const subY = y + (Math.floor(part / SUBPIXELS) + 0.5) / SUBPIXELS - height / 2;
        const column = Math.floor((cos * subX + sin * subY) / module_px + across / 2);
        const row = Math.floor((cos * subY - sin * subX) / module_px + down / 2);
        if (column < 0 || row < 0 || column >= across || row >= down) continue;
        ink += dark[row * across + column] as number;
      }
      levels[y * width + x] = high - ((high - low) * ink) / SUBPIXELS ** 2;
    }
  }
  const seen = blurred(levels, width, height, blur_px);
  const random = randoms(20261201);
  const data = new Uint8ClampedArray(4 * width * height).fill(255);
  for (let n = 0; n < seen.length; n += 1) {
    // of three, twice their sum has nearly a normal distribution of deviation 1
    const level = (seen[n] as number) + NOISE * 2 * (random() + random() + random() - 1.5);
    for (let k = 0; k < 3; k += 1) data[4 * n + k] = level;
  }
  return { data, width, height };
}
