/**
 * Recordings while they are made: every piece is on the disk before the next one is whole, so a page
 * that is killed loses the last second and no more. A whole one becomes a blob like a photo.
 */

import { quietly, type Store } from "./database";
import type { PieceRow, TakeRow } from "./schema";

export interface WholeTake extends TakeRow {
  bytes: ArrayBuffer;
  length_ms: number;
}

function joined(pieces: PieceRow[]): ArrayBuffer {
  const all = new Uint8Array(pieces.reduce((sum, { bytes }) => sum + bytes.byteLength, 0));
  let at = 0;
  for (const { bytes } of pieces) {
    all.set(new Uint8Array(bytes), at);
    at += bytes.byteLength;
  }
  return all.buffer;
}

function piecesOf(take: string): IDBKeyRange {
  return IDBKeyRange.bound([take, 0], [take, Number.MAX_SAFE_INTEGER]);
}

export class Takes {
  constructor(private readonly store: Store) {}

  async begin(row: TakeRow): Promise<void> {
    await this.store.transact(["takes"], (tx) => quietly(tx.objectStore("takes").put(row)));
  }

  /** Resolves when the piece is on the disk. */
  async add(piece: PieceRow): Promise<void> {
    await this.store.transact(["pieces"], (tx) => {
      quietly(tx.objectStore("pieces").put(piece));
      tx.commit();
    });
  }

  /** Recordings that nobody has finished: under way in a tab, or left behind. */
  left(): Promise<string[]> {
    return this.store.run((database) => database.getAllKeys("takes"));
  }

  /** What there is of one; null where nothing of it was stored, or it was finished meanwhile. */
  async whole(take: string): Promise<WholeTake | null> {
    return this.store.run(async (database) => {
      const tx = database.transaction(["takes", "pieces"]);
      const [row, pieces] = await Promise.all([
        tx.objectStore("takes").get(take),
        tx.objectStore("pieces").getAll(piecesOf(take)),
      ]);
      const last = pieces.at(-1);
      if (row === undefined || last === undefined) return null;
      return { ...row, bytes: joined(pieces), length_ms: last.until_ms };
    });
  }

  /** Forget it: it is kept elsewhere, or nobody wants it. */
  async forget(take: string): Promise<void> {
    await this.store.transact(["takes", "pieces"], (tx) => {
      quietly(tx.objectStore("takes").delete(take));
      quietly(tx.objectStore("pieces").delete(piecesOf(take)));
    });
  }
}
