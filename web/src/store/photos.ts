/** Photos on this phone: bytes by hash, and a card for each with what is known of its way. */

import type { ReadyPhoto } from "../shared/photo";
import { sha256 } from "./chain";
import { type PhotoCard, withDatabase } from "./database";

/** Store a photo; resolves with its card when it is on the disk. A repeat is harmless. */
export async function keepPhoto(visit: string, photo: ReadyPhoto): Promise<PhotoCard> {
  const name = await sha256(photo.bytes);
  const card: PhotoCard = {
    sha256: name,
    visit,
    size: photo.bytes.byteLength,
    type: photo.type,
    thumb: photo.thumb,
    held: 0,
    stored: Date.now(),
  };
  return withDatabase(async (database) => {
    const tx = database.transaction(["photos", "cards"], "readwrite", { durability: "strict" });
    const cards = tx.objectStore("cards");
    const known = await cards.get(name);
    const work: Promise<unknown>[] = [];
    if (known === undefined) {
      work.push(
        tx.objectStore("photos").put({ sha256: name, visit, type: photo.type, bytes: photo.bytes }),
      );
      work.push(cards.put(card));
    }
    await Promise.all([...work, tx.done]);
    return known ?? card;
  });
}

export async function photoBytes(
  name: string,
): Promise<{ bytes: ArrayBuffer; type: string } | null> {
  const row = await withDatabase((database) => database.get("photos", name));
  return row === undefined ? null : { bytes: row.bytes, type: row.type };
}

export async function photoCard(name: string): Promise<PhotoCard | undefined> {
  return withDatabase((database) => database.get("cards", name));
}

/** Cards of the photos that the server has not acknowledged, oldest first. */
export async function unsentPhotos(): Promise<PhotoCard[]> {
  const cards = await withDatabase((database) =>
    database.getAllFromIndex("cards", "by_held", IDBKeyRange.only(0)),
  );
  return cards.sort((a, b) => a.stored - b.stored || (a.sha256 < b.sha256 ? -1 : 1));
}

export async function markHeld(names: string[]): Promise<void> {
  await withDatabase(async (database) => {
    const tx = database.transaction("cards", "readwrite");
    for (const name of names) {
      const card = await tx.store.get(name);
      if (card !== undefined) await tx.store.put({ ...card, held: 1 });
    }
    await tx.done;
  });
}
