/**
 * The n-th request to the store fails, n = 1, 2, 3 … until nothing fails any more (the method of
 * SQLite's own tests, sqlite.org/testing.html): after each, what was acknowledged is there, what
 * failed is not there by half, and the next try works. Every door of the store goes through it.
 */

import { beforeEach, expect, test } from "vitest";
import type { Cells, LogEvent } from "../src/shared/event";
import { hashOfEvent } from "../src/store/chain";
import {
  append,
  BatchRefused,
  cellsOf,
  eventsOfVisit,
  foldDirty,
  held,
  ownEvents,
  receive,
  settle,
  visitsHere,
} from "../src/store/log";
import { readMeta, writeMeta } from "../src/store/meta";
import { forgetHeld, keepPhoto, markHeld, photoBytes, unsentPhotos } from "../src/store/photos";
import { takeStock } from "../src/store/sync";
import { batchOf, device2 } from "./batch";
import { newStore, reopened, visit } from "./store";

beforeEach(newStore);

const NAMES = ["QuotaExceededError", "AbortError", "UnknownError", "InvalidStateError"] as const;
const KINDS = NAMES.flatMap((name) => [false, true].map((lasting) => ({ name, lasting })));

type Method = (this: IDBObjectStore | IDBIndex, ...rest: never[]) => IDBRequest;

/** Make the n-th request from now on fail, once or from then on. */
function failAt(n: number, name: string, lasting: boolean): { undo: () => void; met: boolean } {
  const undo: (() => void)[] = [];
  const fault = { met: false, undo: () => undo.forEach((take) => void take()) };
  let count = 0;
  const guard = (prototype: object, method: string) => {
    const doors = prototype as Record<string, Method>;
    const real = doors[method] as Method;
    doors[method] = function (...rest) {
      count += 1;
      if (count === n || (lasting && count > n)) {
        fault.met = true;
        const { transaction } = "transaction" in this ? this : (this as IDBIndex).objectStore;
        // a write that fails takes its transaction along; a read has nothing to take back
        if (transaction.mode === "readwrite") transaction.abort();
        throw new DOMException("made to fail", name);
      }
      return real.apply(this, rest);
    };
    undo.push(() => {
      doors[method] = real;
    });
  };
  for (const method of ["add", "put", "delete", "get", "getAll", "openCursor"])
    guard(IDBObjectStore.prototype, method);
  for (const method of ["getAll", "getAllKeys"]) guard(IDBIndex.prototype, method);
  return fault;
}

/**
 * Let `act` meet a fault at its n-th request, for every n there is. `check` is told whether it
 * said that it was done; it looks at the store as a new page would.
 */
async function atEveryRequest(
  name: string,
  lasting: boolean,
  act: (n: number) => Promise<unknown>,
  check: (done: boolean, n: number) => Promise<void>,
): Promise<void> {
  for (let n = 1; ; n += 1) {
    const fault = failAt(n, name, lasting);
    let done = false;
    try {
      await act(n);
      done = true;
    } catch (problem) {
      // the screen would say so: a failure of the store, never of a program that stumbled over one
      expect(problem).toBeInstanceOf(DOMException);
    } finally {
      fault.undo();
    }
    await reopened();
    await check(done, n);
    if (!fault.met) {
      expect(done).toBe(true);
      // a loop that never met its fault would prove nothing
      expect(n).toBeGreaterThan(1);
      return;
    }
  }
}

async function chainHolds(events: LogEvent[]): Promise<void> {
  let prev = "";
  for (const [index, event] of events.entries()) {
    expect([event.seq, event.prev]).toEqual([index + 1, prev]);
    prev = await hashOfEvent(event);
  }
}

test.each(KINDS)("entries survive $name, lasting: $lasting, at every request", async (kind) => {
  await append([{ visit, put: "car/make", value: "before" }]);
  let before = 1;
  await atEveryRequest(
    kind.name,
    kind.lasting,
    (n) =>
      append([
        { visit, put: "car/make", value: `make ${n}` },
        { visit, put: "car/model", value: `model ${n}` },
      ]),
    async (done, n) => {
      const events = await ownEvents(1);
      expect(events).toHaveLength(before + (done ? 2 : 0));
      await chainHolds(events);
      await append([{ visit, put: "car/colour", value: `colour ${n}` }]);
      await chainHolds(await ownEvents(1));
      before = events.length + 1;
      // what is shown is what was recorded last, and no more than that
      const cells = await cellsOf(visit);
      const last = events.filter((event) => event.put === "car/make").at(-1);
      expect(cells["car/make"]?.value).toBe(last?.value);
    },
  );
});

test.each(KINDS)("rows say what the log says under $name, lasting: $lasting", async (kind) => {
  let made = 0;
  await atEveryRequest(
    kind.name,
    kind.lasting,
    () => settle(),
    async () => {
      // settled or not: what was recorded last is shown
      const cells = await cellsOf(visit);
      expect(cells["car/make"]?.value).toBe(made === 0 ? undefined : `make ${made}`);
      expect(await visitsHere()).toHaveLength(made === 0 ? 0 : 1);
      made += 1;
      await append([{ visit, put: "car/make", value: `make ${made}` }]);
      await reopened();
    },
  );
});

test.each(KINDS)("a photo is whole or absent under $name, lasting: $lasting", async (kind) => {
  let kept: string | null = null;
  await atEveryRequest(
    kind.name,
    kind.lasting,
    async (n) => {
      kept = null;
      const bytes = new TextEncoder().encode(`picture ${n}`).buffer as ArrayBuffer;
      const size = { width: 1, height: 1, taken: null, place: null, thumb: null };
      kept = (await keepPhoto(visit, { bytes, type: "image/jpeg", ...size })).sha256;
    },
    async (done) => {
      for (const card of await unsentPhotos()) {
        expect((await photoBytes(card.sha256))?.bytes.byteLength).toBe(card.size);
      }
      if (done) expect(await photoBytes(kept ?? "")).not.toBeNull();
    },
  );
});

test.each(KINDS)(
  "what others wrote comes whole or not under $name, lasting: $lasting",
  async (kind) => {
    const batch = await batchOf([
      ["car/make", "Tarn"],
      ["items/rust.arches/choice", "holed"],
      ["items/rust.arches/note", "behind the lip"],
    ]);
    await append([{ visit, put: "car/make", value: "mine" }]);
    await atEveryRequest(
      kind.name,
      kind.lasting,
      () => receive(batch),
      async (done) => {
        const theirs = (await held())[device2] ?? 0;
        // an earlier round may have brought it whole
        expect([0, 3]).toContain(theirs);
        if (done) expect(theirs).toBe(3);
        expect((await eventsOfVisit(visit)).length).toBe(1 + theirs);
      },
    );
    await expect(receive({ ...batch, head: "" })).rejects.toThrow(BatchRefused);
  },
);

/** A fold as simple as can be: the latest stamp counts. */
async function latest(events: LogEvent[]): Promise<Cells> {
  const cells: Cells = {};
  for (const { put, value, at } of [...events].sort((a, b) => (a.at < b.at ? -1 : 1))) {
    cells[put] = { value, at, others: [] };
  }
  return cells;
}

test.each(KINDS)("folding goes on where $name ended it, lasting: $lasting", async (kind) => {
  await receive(
    await batchOf([
      ["car/make", "Tarn"],
      ["car/model", "Nine"],
      ["items/rust.arches/choice", "holed"],
    ]),
  );
  await atEveryRequest(
    kind.name,
    kind.lasting,
    () => foldDirty(visit, latest),
    async (done) => {
      const shown = Object.keys(await cellsOf(visit)).length;
      if (done) expect(shown).toBe(3);
    },
  );
  await foldDirty(visit, latest);
  expect(await foldDirty(visit, latest)).toBe(0);
  const cells = await cellsOf(visit);
  expect(Object.entries(cells).map(([put, { value }]) => [put, value])).toEqual([
    ["car/make", "Tarn"],
    ["car/model", "Nine"],
    ["items/rust.arches/choice", "holed"],
  ]);
});

test.each(KINDS)(
  "no photo counts as sent that is not under $name, lasting: $lasting",
  async (kind) => {
    const names: string[] = [];
    for (const text of ["one", "two", "three"]) {
      const bytes = new TextEncoder().encode(text).buffer as ArrayBuffer;
      const size = { width: 1, height: 1, taken: null, place: null, thumb: null };
      names.push((await keepPhoto(visit, { bytes, type: "image/jpeg", ...size })).sha256);
    }
    await atEveryRequest(
      kind.name,
      kind.lasting,
      () => markHeld(names.slice(0, 2)),
      async (done) => {
        const unsent = (await unsentPhotos()).map((card) => card.sha256);
        expect(unsent).toContain(names[2]);
        // both or neither: the server named them in one answer
        expect([1, 3]).toContain(unsent.length);
        if (done) expect(unsent).toHaveLength(1);
        await forgetHeld();
        expect(await unsentPhotos()).toHaveLength(3);
      },
    );
  },
);

test.each(KINDS)(
  "what the server has is never overstated under $name, lasting: $lasting",
  async (kind) => {
    await append([{ visit, put: "car/make", value: "Tarn" }]);
    const known = { acknowledged: 0, answered: 0, skew: 0, run: "" };
    await writeMeta("sync", known);
    await atEveryRequest(
      kind.name,
      kind.lasting,
      () => writeMeta("sync", { ...known, acknowledged: 1 }),
      async (done) => {
        const stock = await takeStock();
        expect(stock.unsentEvents).toBe((await readMeta("sync"))?.acknowledged === 1 ? 0 : 1);
        if (done) expect(stock.unsentEvents).toBe(0);
        else expect(stock.unsentEvents).toBe(1);
        await writeMeta("sync", known);
      },
    );
  },
);
