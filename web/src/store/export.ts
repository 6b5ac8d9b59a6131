/** The last resort: everything unsent in one file, which the desk can read in. */

import { canonical, hashOfEvent } from "./chain";
import { ownEvents } from "./log";
import { deviceId, readMeta } from "./meta";
import { photoBytes, unsentPhotos } from "./photos";

function base64(bytes: ArrayBuffer): string {
  const all = new Uint8Array(bytes);
  let text = "";
  for (let from = 0; from < all.length; from += 32_768) {
    text += String.fromCharCode(...all.subarray(from, from + 32_768));
  }
  return btoa(text);
}

/**
 * `{"format": "bradawl-unsent", "version": 1, "batch": a push as the server takes it,
 * "photos": [{"sha256", "type", "base64"}]}`
 */
export async function exportUnsent(): Promise<File> {
  const device = await deviceId();
  const { acknowledged } = (await readMeta("sync")) ?? { acknowledged: 0 };
  const events = await ownEvents(acknowledged + 1);
  const first = events[0];
  const last = events[events.length - 1];
  const batch = {
    protocol: 1,
    device,
    from_seq: first?.seq ?? acknowledged + 1,
    prev: first?.prev ?? "",
    events: events.map(({ at, visit, put, value, over }) => ({ at, visit, put, value, over })),
    head: last === undefined ? "" : await hashOfEvent(last),
  };
  const parts: string[] = [
    `{"format":"bradawl-unsent","version":1,"batch":${canonical(batch)},"photos":[`,
  ];
  let comma = "";
  for (const card of await unsentPhotos()) {
    const photo = await photoBytes(card.sha256);
    if (photo === null) continue;
    parts.push(
      comma,
      canonical({ sha256: card.sha256, type: photo.type, base64: base64(photo.bytes) }),
    );
    comma = ",";
  }
  parts.push("]}");
  const day = new Date().toISOString().slice(0, 10);
  return new File(parts, `bradawl-unsent-${day}.json`, { type: "application/json" });
}
