/** The worker that reads bar codes: a picture in, the texts of its codes out. */

import { prepareZXingModule } from "zxing-wasm/reader";
import wasm from "zxing-wasm/reader/zxing_reader.wasm?url";
import type { CodeAnswer, CodeRequest } from "../shared/code-messages";
import { codesInFrame, codesInStill, type Pixels } from "./reading";

declare const self: DedicatedWorkerGlobalScope;

/** Longest side, px: of a label that fills the picture a bar still has several. */
const MOST_PX = 2_400;

// from where the app itself comes, and from nowhere else
prepareZXingModule({ overrides: { locateFile: () => wasm } });

let turn = 0;

function pixelsOf(bitmap: ImageBitmap): Pixels {
  const scale = Math.min(1, MOST_PX / Math.max(bitmap.width, bitmap.height));
  const width = Math.max(1, Math.round(bitmap.width * scale));
  const height = Math.max(1, Math.round(bitmap.height * scale));
  const pen = new OffscreenCanvas(width, height).getContext("2d", { willReadFrequently: true });
  if (pen === null) return { data: new Uint8ClampedArray(4), width: 1, height: 1 };
  pen.imageSmoothingQuality = "high";
  pen.drawImage(bitmap, 0, 0, width, height);
  bitmap.close();
  return pen.getImageData(0, 0, width, height);
}

async function answer({ id, picture, isStill }: CodeRequest<ImageBitmap>): Promise<CodeAnswer> {
  try {
    const pixels = pixelsOf(picture);
    if (isStill) return { id, texts: await codesInStill(pixels) };
    turn += 1;
    return { id, texts: await codesInFrame(pixels, turn) };
  } catch {
    // the reader itself did not come: it was not taken along, and there is no signal
    return { id, isBroken: true };
  }
}

self.onmessage = async ({ data }: MessageEvent<CodeRequest<ImageBitmap>>) => {
  self.postMessage(await answer(data));
};
