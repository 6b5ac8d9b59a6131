/**
 * The n-th write to the store fails, n = 1, 2, 3 … until nothing fails any more (the method of
 * SQLite's own tests): after each, what was acknowledged is there, what failed is not, and the
 * chain holds.
 */

import { beforeEach, expect, test } from "vitest";
import type { LogEvent } from "../src/shared/event";
import { hashOfEvent } from "../src/store/chain";
import { append, ownEvents } from "../src/store/log";
import { keepPhoto, photoBytes, unsentPhotos } from "../src/store/photos";
import { newStore, reopened, visit } from "./store";

beforeEach(newStore);

const NAMES = ["QuotaExceededError", "AbortError", "UnknownError", "InvalidStateError"] as const;

/** Make the n-th `add` or `put` from now on fail, once or from then on. */
function failAt(
  n: number,
  name: string,
  persistent: boolean,
): { undo: () => void; met: () => boolean } {
  const prototype = IDBObjectStore.prototype;
  const { add, put } = prototype;
  let count = 0;
  let met = false;
  const guard = (real: IDBObjectStore["put"]) =>
    function (this: IDBObjectStore, ...rest: Parameters<IDBObjectStore["put"]>) {
      count += 1;
      if (count === n || (persistent && count > n)) {
        met = true;
        this.transaction.abort();
        throw new DOMException("made to fail", name);
      }
      return real.apply(this, rest);
    };
  prototype.add = guard(add);
  prototype.put = guard(put);
  return {
    undo: () => {
      prototype.add = add;
      prototype.put = put;
    },
    met: () => met,
  };
}

async function chainHolds(events: LogEvent[]): Promise<void> {
  let prev = "";
  for (const [index, event] of events.entries()) {
    expect([event.seq, event.prev]).toEqual([index + 1, prev]);
    prev = await hashOfEvent(event);
  }
}

for (const name of NAMES) {
  for (const persistent of [false, true]) {
    test(`entries survive ${name} at every write, ${persistent ? "lasting" : "once"}`, async () => {
      await append([{ visit, put: "car/make", value: "before" }]);
      for (let n = 1; ; n += 1) {
        const before = (await ownEvents(1)).length;
        const fault = failAt(n, name, persistent);
        let stored = false;
        try {
          await append([
            { visit, put: "car/make", value: `make ${n}` },
            { visit, put: "car/model", value: `model ${n}` },
          ]);
          stored = true;
        } catch {
          // the screen would say so; what counts is what lies in the store
        } finally {
          fault.undo();
        }
        await reopened();
        const events = await ownEvents(1);
        expect(events).toHaveLength(before + (stored ? 2 : 0));
        await chainHolds(events);
        await append([{ visit, put: "car/colour", value: `colour ${n}` }]);
        await chainHolds(await ownEvents(1));
        if (!fault.met()) {
          expect(stored).toBe(true);
          break;
        }
      }
    });

    test(`a photo is whole or absent under ${name}, ${persistent ? "lasting" : "once"}`, async () => {
      for (let n = 1; ; n += 1) {
        const bytes = new TextEncoder().encode(`picture ${n}`).buffer as ArrayBuffer;
        const fault = failAt(n, name, persistent);
        let kept: string | null = null;
        try {
          const photo = {
            bytes,
            type: "image/jpeg" as const,
            width: 1,
            height: 1,
            taken: null,
            thumb: null,
          };
          kept = (await keepPhoto(visit, photo)).sha256;
        } catch {
          // as above
        } finally {
          fault.undo();
        }
        await reopened();
        for (const card of await unsentPhotos())
          expect(await photoBytes(card.sha256)).not.toBeNull();
        if (kept !== null)
          expect((await photoBytes(kept))?.bytes.byteLength).toBe(bytes.byteLength);
        if (!fault.met()) {
          expect(kept).not.toBeNull();
          break;
        }
      }
    });
  }
}
