/** Photos on this phone: bytes by hash, and a card for each with what is known of its way. */

import type { ReadyPhoto } from "../shared/photo";
import { sha256 } from "./chain";
import { type Database, type PhotoCard, quietly, transact, withDatabase } from "./database";

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
  return transact(["photos", "cards"], async (tx) => {
    const known = await tx.objectStore("cards").get(name);
    if (known !== undefined) return known;
    const row = { sha256: name, visit, type: photo.type, bytes: photo.bytes };
    quietly(tx.objectStore("photos").put(row));
    quietly(tx.objectStore("cards").put(card));
    return card;
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

export type PhotoFacts = Pick<PhotoCard, "sha256" | "size" | "type" | "stored">;

/** What never changes of a photo: whoever counts what is unsent need not read its thumb again. */
const facts = new WeakMap<Database, Map<string, PhotoFacts>>();

/** The photos that the server has not acknowledged, oldest first. */
export async function unsentPhotos(): Promise<PhotoFacts[]> {
  const photos = await withDatabase(async (database) => {
    const { store } = database.transaction("cards");
    const here = facts.get(database) ?? new Map<string, PhotoFacts>();
    facts.set(database, here);
    const names = await store.index("by_held").getAllKeys(IDBKeyRange.only(0));
    return Promise.all(
      names.map(async (name) => {
        const known = here.get(name);
        if (known !== undefined) return known;
        const { sha256, size, type, stored } = (await store.get(name)) as PhotoCard;
        const fact = { sha256, size, type, stored };
        here.set(name, fact);
        return fact;
      }),
    );
  });
  return photos.sort((a, b) => a.stored - b.stored || (a.sha256 < b.sha256 ? -1 : 1));
}

export async function markHeld(names: string[]): Promise<void> {
  await transact(["cards"], async (tx) => {
    const cards = tx.objectStore("cards");
    for (const name of names) {
      const card = await cards.get(name);
      if (card !== undefined) quietly(cards.put({ ...card, held: 1 }));
    }
  });
}

/** Count every photo as unsent again: the server may have lost what it acknowledged. */
export async function forgetHeld(): Promise<void> {
  await transact(["cards"], async (tx) => {
    const cards = tx.objectStore("cards");
    for (const card of await cards.index("by_held").getAll(IDBKeyRange.only(1))) {
      quietly(cards.put({ ...card, held: 0 }));
    }
  });
}
