/**
 * The photo worker: a camera's picture in, a JPEG of report size out.
 *
 * Decoded straight to the target size where the browser can, upright, and without the file's own
 * notes: the place where it was taken does not travel in the picture. The time is read from them,
 * and the place for who wants it as the visit's.
 */

import type { PhotoAnswer, PhotoRequest, ReadyPhoto } from "../shared/photo-messages";
import { type Message, message } from "../shared/said";
import { kindOf, type Notes, readNotes } from "./exif";

declare const self: DedicatedWorkerGlobalScope;

const QUALITY = 0.82;
const THUMB_PX = 240;
const FILE_LIMIT_BYTES = 60_000_000;

/** A file that is no usable picture. */
class NotAPhoto extends Error {
  constructor(
    readonly why: Message,
    options?: ErrorOptions,
  ) {
    super(why.id, options);
  }
}

async function decode(file: Blob, notes: Notes, target: number): Promise<ImageBitmap> {
  const longest = Math.max(notes.width, notes.height);
  if (longest > target) {
    const upright = notes.orientation < 5;
    const width = upright ? notes.width : notes.height;
    const height = upright ? notes.height : notes.width;
    const scale = target / longest;
    return createImageBitmap(file, {
      imageOrientation: "from-image",
      resizeWidth: Math.max(1, Math.round(width * scale)),
      resizeHeight: Math.max(1, Math.round(height * scale)),
      resizeQuality: "high",
    });
  }
  return createImageBitmap(file, { imageOrientation: "from-image" });
}

async function draw(
  bitmap: ImageBitmap,
  target: number,
): Promise<{ bytes: ArrayBuffer; width: number; height: number; blank: boolean }> {
  const scale = Math.min(1, target / Math.max(bitmap.width, bitmap.height));
  const width = Math.max(1, Math.round(bitmap.width * scale));
  const height = Math.max(1, Math.round(bitmap.height * scale));
  const canvas = new OffscreenCanvas(width, height);
  const pen = canvas.getContext("2d");
  if (pen === null) throw new NotAPhoto(message("phone-error-photo-browser"));
  pen.imageSmoothingQuality = "high";
  pen.drawImage(bitmap, 0, 0, width, height);
  const blank = isBlank(pen, width, height);
  const blob = await canvas.convertToBlob({ type: "image/jpeg", quality: QUALITY });
  const bytes = await blob.arrayBuffer();
  canvas.width = 0;
  canvas.height = 0;
  return { bytes, width, height, blank };
}

/** A canvas over a browser's limit comes back all black or white, without an error. */
function isBlank(pen: OffscreenCanvasRenderingContext2D, width: number, height: number): boolean {
  const first = pen.getImageData(0, 0, 1, 1).data;
  for (let step = 1; step < 64; step += 1) {
    const x = Math.floor(((step * 37) % 64) * (width / 64));
    const y = Math.floor(step * (height / 64));
    const dot = pen.getImageData(x, y, 1, 1).data;
    if (dot.some((value, channel) => Math.abs(value - (first[channel] ?? 0)) > 2)) return false;
  }
  return true;
}

async function prepare({ file, target }: PhotoRequest<Blob>): Promise<ReadyPhoto> {
  if (file.size === 0) throw new NotAPhoto(message("phone-error-photo-empty"));
  if (file.size > FILE_LIMIT_BYTES) {
    throw new NotAPhoto(message("phone-error-photo-large"));
  }
  const original = await file.arrayBuffer();
  const kind = kindOf(original);
  if (kind === null) throw new NotAPhoto(message("phone-error-photo-kind"));
  const notes = readNotes(original);
  let bitmap: ImageBitmap;
  try {
    bitmap = await decode(file, notes, target);
  } catch (problem) {
    if (kind === "heic") {
      // this browser cannot open it, the server can: it travels as it is
      return {
        bytes: original,
        type: "image/heic",
        width: 0,
        height: 0,
        taken: null,
        place: null,
        thumb: null,
      };
    }
    throw new NotAPhoto(message("phone-error-photo-damaged"), { cause: problem });
  }
  let drawn = await draw(bitmap, target);
  if (drawn.blank && Math.max(notes.width, notes.height) > target) {
    bitmap.close();
    bitmap = await createImageBitmap(file, { imageOrientation: "from-image" });
    drawn = await draw(bitmap, target);
  }
  const thumb = await draw(bitmap, THUMB_PX);
  bitmap.close();
  return {
    bytes: drawn.bytes,
    type: "image/jpeg",
    width: drawn.width,
    height: drawn.height,
    taken: notes.taken,
    place: notes.place,
    thumb: thumb.bytes,
  };
}

// one at a time: two camera pictures decoded at once can be too much for a small phone
let turn: Promise<void> = Promise.resolve();

self.onmessage = ({ data }: MessageEvent<PhotoRequest<Blob>>) => {
  turn = turn.then(async () => {
    let answer: PhotoAnswer;
    try {
      answer = { id: data.id, photo: await prepare(data) };
    } catch (problem) {
      const why = problem instanceof NotAPhoto ? problem.why : message("phone-error-photo");
      answer = { id: data.id, problem: why };
    }
    self.postMessage(answer);
  });
};
