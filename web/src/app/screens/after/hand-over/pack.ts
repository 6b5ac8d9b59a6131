/**
 * The file in which this phone hands its record over: pushes as a server takes them, signed, and
 * photos beside them (server/bradawl/desk/model/records/hand_over.py reads it).
 *
 * Entries are all that no server has acknowledged, every time: they are small, and a chain has no
 * gaps. Of photos a file takes as many as a desk's computer is sent at once; the next file goes on.
 */

import type { LogEvent } from "../../../../shared/event";
import { headText, sign } from "../../../../store/keys";
import { batchOf, EVENTS_A_BATCH, fitting } from "../../../../store/log/chains";
import { hashOf } from "../../../../store/log/events";
import type { Log } from "../../../../store/log/log";
import type { PhotoFacts, Photos } from "../../../../store/photos";
import { Archive } from "./archive";

/** As much of photos as is packed at once, bytes; the desk takes twice that. */
const PHOTOS_BYTES = 250_000_000;

export interface Packed {
  file: File;
  /** Up to which own entry it goes, and how many it holds. */
  seq: number;
  entries: number;
  /** The photos and recordings in it, and those that had no room. */
  photos: string[];
  left: number;
}

/** The photos of one file, and how many have to wait for the next. */
export function fittingPhotos(all: PhotoFacts[], most_bytes = PHOTOS_BYTES): PhotoFacts[] {
  let size_bytes = 0;
  return all.filter(({ size }, n) => {
    size_bytes += size;
    return n === 0 || size_bytes <= most_bytes;
  });
}

/** How a file is named after its media type, so that a computer opens it. */
function ending(type: string): string {
  const kind = /\/([a-z0-9]{1,5})/.exec(type)?.[1];
  return kind === undefined ? "" : `.${kind}`;
}

const plainType = (type: string) => type.split(";")[0] ?? "";

/**
 * `without` names photos that a desk has already; `tell` hears how many of the photos are packed.
 * Rejects where the storage is not to be had.
 */
export async function pack(
  log: Log,
  photos: Photos,
  without: ReadonlySet<string>,
  tell: (packed: number, of: number) => void,
): Promise<Packed> {
  const own = await log.identity.get();
  const { acknowledged } = await log.facts.sync();
  const archive = new Archive();
  const waiting = (await photos.unsent()).filter(({ sha256 }) => !without.has(sha256));
  const chosen = fittingPhotos(waiting);
  const about = {
    format: "bradawl-hand-over",
    version: 1,
    device: own.device,
    blobs: chosen.map(({ sha256, type }) => [sha256, plainType(type)]),
  };
  archive.add("bradawl.json", JSON.stringify(about));
  let seq = acknowledged;
  for (let number = 1; ; number += 1) {
    const events = fitting(await log.chains.events(own.device, seq + 1, EVENTS_A_BATCH));
    const last = events.at(-1) as LogEvent | undefined;
    if (last === undefined) break;
    const text = headText(own.device, last.seq, await hashOf(last));
    const batch = await batchOf(own.key, events, await sign(own, text));
    archive.add(`batches/${String(number).padStart(6, "0")}.json`, JSON.stringify(batch));
    seq = last.seq;
  }
  const packed: string[] = [];
  for (const [n, { sha256, type }] of chosen.entries()) {
    tell(n + 1, chosen.length);
    const photo = await photos.bytes(sha256);
    // dropped since it was counted
    if (photo === null) continue;
    archive.add(`photos/${sha256}${ending(type)}`, photo.bytes);
    packed.push(sha256);
  }
  const at = new Date().toISOString().slice(0, 16).replaceAll(/[:T]/g, "-");
  return {
    file: archive.file(`bradawl-${own.device.slice(0, 8)}-${at}.zip`),
    seq,
    entries: seq - acknowledged,
    photos: packed,
    left: waiting.length - chosen.length,
  };
}
