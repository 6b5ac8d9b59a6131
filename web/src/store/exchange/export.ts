/** The last resort: everything unsent in one file, which the desk can read in. */

import type { LogEvent } from "../../shared/event";
import { PROTOCOL } from "../../shared/event";
import { headText, sign } from "../keys";
import { batchOf } from "../log/chains";
import { hashOf } from "../log/events";
import type { Log } from "../log/log";
import type { Photos } from "../photos";

const BATCH = 1_000;

function base64(bytes: ArrayBuffer): string {
  const all = new Uint8Array(bytes);
  let text = "";
  for (let from = 0; from < all.length; from += 32_768) {
    text += String.fromCharCode(...all.subarray(from, from + 32_768));
  }
  return btoa(text);
}

/**
 * `{"format": "bradawl-unsent", "version": 2, "protocol", "batches": pushes as the server takes
 * them, signed, "photos": [{"sha256", "type", "base64"}]}`
 */
export async function exportUnsent(log: Log, photos: Photos): Promise<File> {
  const own = await log.identity.get();
  const { acknowledged } = await log.facts.sync();
  const parts: string[] = [
    `{"format":"bradawl-unsent","version":2,"protocol":${PROTOCOL},"batches":[`,
  ];
  let comma = "";
  for (let from = acknowledged + 1; ; from += BATCH) {
    const events = await log.chains.events(own.device, from, BATCH);
    const last = events[events.length - 1];
    if (last === undefined) break;
    const text = headText(own.device, last.seq, await hashOf(last as LogEvent));
    parts.push(comma, JSON.stringify(await batchOf(own.key, events, await sign(own, text))));
    comma = ",";
  }
  parts.push('],"photos":[');
  comma = "";
  for (const { sha256, type } of await photos.unsent()) {
    const photo = await photos.bytes(sha256);
    if (photo === null) continue;
    parts.push(comma, JSON.stringify({ sha256, type, base64: base64(photo.bytes) }));
    comma = ",";
  }
  parts.push("]}");
  const day = new Date().toISOString().slice(0, 10);
  return new File(parts, `bradawl-unsent-${day}.json`, { type: "application/json" });
}
