/** Photos and recordings on this phone: bytes by hash, and a card for each with what is known of its way. */

import type { Said } from "../shared/said";
import { quietly, type Store } from "./database";
import { sha256 } from "./encoding";
import type { Database, PhotoCard } from "./schema";

/** What is kept of a photo or a recording; `thumb` is a small JPEG for lists. */
export interface KeptBlob {
  bytes: ArrayBuffer;
  type: string;
  thumb: ArrayBuffer | null;
}

export type PhotoFacts = Pick<PhotoCard, "sha256" | "visit" | "size" | "type" | "stored"> & {
  refused?: Said;
};

export class Photos {
  /** What never changes of a photo: whoever counts what is unsent need not read its thumb again. */
  private readonly facts = new WeakMap<Database, Map<string, PhotoFacts>>();

  constructor(private readonly store: Store) {}

  /** Store a photo or a recording; resolves with its card when it is on the disk. A repeat is harmless. */
  async keep(visit: string, photo: KeptBlob): Promise<PhotoCard> {
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
    return this.store.transact(["photos", "cards"], async (tx) => {
      const stored = await tx.objectStore("cards").get(name);
      if (stored !== undefined) return stored;
      const row = { sha256: name, visit, type: photo.type, bytes: photo.bytes };
      quietly(tx.objectStore("photos").put(row));
      quietly(tx.objectStore("cards").put(card));
      return card;
    });
  }

  async bytes(name: string): Promise<{ bytes: ArrayBuffer; type: string } | null> {
    const row = await this.store.run((database) => database.get("photos", name));
    return row === undefined ? null : { bytes: row.bytes, type: row.type };
  }

  card(name: string): Promise<PhotoCard | undefined> {
    return this.store.run((database) => database.get("cards", name));
  }

  /** The photos that the server has not acknowledged, oldest first. */
  async unsent(): Promise<PhotoFacts[]> {
    const photos = await this.store.run(async (database) => {
      const { store } = database.transaction("cards");
      const here = this.facts.get(database) ?? new Map<string, PhotoFacts>();
      this.facts.set(database, here);
      const names = await store.index("by_held").getAllKeys(IDBKeyRange.only(0));
      return Promise.all(
        names.map(async (name) => {
          const cached = here.get(name);
          if (cached !== undefined) return cached;
          const { thumb: _thumb, held: _held, ...fact } = (await store.get(name)) as PhotoCard;
          here.set(name, fact);
          return fact;
        }),
      );
    });
    return photos.sort((a, b) => a.stored - b.stored || (a.sha256 < b.sha256 ? -1 : 1));
  }

  private async change(names: string[], change: (card: PhotoCard) => PhotoCard): Promise<void> {
    await this.store.transact(["cards"], async (tx) => {
      const cards = tx.objectStore("cards");
      for (const name of names) {
        const card = await cards.get(name);
        if (card !== undefined) quietly(cards.put(change(card)));
      }
    });
    await this.forgetFacts(names);
  }

  private forgetFacts(names: string[]): Promise<void> {
    return this.store.run(async (database) => {
      for (const name of names) this.facts.get(database)?.delete(name);
    });
  }

  /** The server said that it holds these. */
  markHeld(names: string[]): Promise<void> {
    return this.change(names, ({ refused: _, ...card }) => ({ ...card, held: 1 }));
  }

  /** The server will not have this one, as it is: it is not sent again by itself. */
  markRefused(name: string, why: Said): Promise<void> {
    return this.change([name], (card) => ({ ...card, refused: why }));
  }

  /** Try those again that the server would not have: it may have been renewed, or somebody asks. */
  async forgetRefusals(): Promise<void> {
    const refused = (await this.unsent()).filter((photo) => photo.refused !== undefined);
    if (refused.length === 0) return;
    await this.change(
      refused.map(({ sha256 }) => sha256),
      ({ refused: _, ...card }) => card,
    );
  }

  /** Delete a photo from this phone: the person has dropped it. */
  async drop(name: string): Promise<void> {
    await this.store.transact(["photos", "cards"], (tx) => {
      quietly(tx.objectStore("photos").delete(name));
      quietly(tx.objectStore("cards").delete(name));
    });
    await this.forgetFacts([name]);
  }

  /** Count every photo as unsent again: the server may have lost what it acknowledged. */
  async forgetHeld(): Promise<void> {
    await this.store.transact(["cards"], async (tx) => {
      const cards = tx.objectStore("cards");
      for (const card of await cards.index("by_held").getAll(IDBKeyRange.only(1))) {
        quietly(cards.put({ ...card, held: 0 }));
      }
    });
  }
}
