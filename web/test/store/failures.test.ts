/**
 * The n-th request to the store fails, n = 1, 2, 3 … until nothing fails any more (the method of
 * SQLite's own tests, sqlite.org/testing.html): after each, what was acknowledged is there, what
 * failed is not there by half, and the next try works. Every door of the store goes through it.
 */

import { beforeEach, expect, test } from "vitest";
import type { Batch, LogEvent } from "../../src/shared/event";
import { takeStock } from "../../src/store/exchange/sync";
import { beginChain } from "../../src/store/log/continuation";
import { BatchRefused } from "../../src/store/log/events";
import { applyOrders } from "../../src/store/log/orders";
import { receive } from "../../src/store/log/receiving";
import { drop } from "../../src/store/log/repair";
import { ask } from "../judge";
import { newPhone, newTab, put, scope, type Tab, visit } from "./store";
import * as second from "./writer";
import { Writer } from "./writer";

let tab: Tab;
beforeEach(async () => {
  tab = await newPhone();
});

/** As after a killed tab: the same storage, nothing remembered. */
async function reopened(): Promise<void> {
  await tab.close();
  tab = newTab();
}

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
  const ofStores = ["add", "put", "delete", "get", "getAll", "getAllKeys", "count"];
  for (const method of [...ofStores, "openCursor", "openKeyCursor"])
    guard(IDBObjectStore.prototype, method);
  for (const method of ["getAll", "getAllKeys", "count"]) guard(IDBIndex.prototype, method);
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
    prev = second.hashOf(event);
  }
}

test.each(KINDS)("entries survive $name, lasting: $lasting, at every request", async (kind) => {
  await tab.log.append([put("car/make", "before")]);
  let before = 1;
  await atEveryRequest(
    kind.name,
    kind.lasting,
    (n) => tab.log.append([put("car/make", `make ${n}`), put("car/model", `model ${n}`)]),
    async (done, n) => {
      const events = await tab.ownEvents();
      expect(events).toHaveLength(before + (done ? 2 : 0));
      await chainHolds(events);
      await tab.log.append([put("car/colour", `colour ${n}`)]);
      await chainHolds(await tab.ownEvents());
      before = events.length + 1;
      // what is shown is what was recorded last, and no more than that
      const cells = await tab.log.rows.cellsOf(visit);
      const last = events.filter((event) => event.put === "car/make").at(-1);
      expect(cells["car/make"]?.value).toBe(JSON.parse(last?.value as string));
    },
  );
});

test.each(KINDS)("a first start survives $name, lasting: $lasting", async (kind) => {
  await atEveryRequest(
    kind.name,
    kind.lasting,
    async () => {
      tab = await newPhone();
      await tab.log.append([put("car/make", "Tarn")]);
    },
    async (done) => {
      const events = await tab.ownEvents();
      expect(events).toHaveLength(done ? 1 : 0);
      await tab.log.append([put("car/make", "Tarn, again")]);
      await chainHolds(await tab.ownEvents());
    },
  );
});

test.each(KINDS)("rows say what the log says under $name, lasting: $lasting", async (kind) => {
  let made = 0;
  await atEveryRequest(
    kind.name,
    kind.lasting,
    () => tab.log.rows.settle(),
    async () => {
      // settled or not: what was recorded last is shown
      const cells = await tab.log.rows.cellsOf(visit);
      expect(cells["car/make"]?.value).toBe(made === 0 ? undefined : `make ${made}`);
      expect(await tab.log.rows.visitsHere()).toHaveLength(made === 0 ? 0 : 1);
      made += 1;
      await tab.log.append([put("car/make", `make ${made}`)]);
      await reopened();
    },
  );
});

/** A photo's own bytes. */
async function keep(text: string): Promise<string> {
  const bytes = new TextEncoder().encode(text).buffer as ArrayBuffer;
  const size = { width: 1, height: 1, taken: null, place: null, thumb: null };
  return (await tab.photos.keep(visit, { bytes, type: "image/jpeg", ...size })).sha256;
}

test.each(KINDS)("a photo is whole or absent under $name, lasting: $lasting", async (kind) => {
  let kept: string | null = null;
  await atEveryRequest(
    kind.name,
    kind.lasting,
    async (n) => {
      kept = null;
      kept = await keep(`picture ${n}`);
    },
    async (done) => {
      for (const card of await tab.photos.unsent()) {
        expect((await tab.photos.bytes(card.sha256))?.bytes.byteLength).toBe(card.size);
      }
      if (done) expect(await tab.photos.bytes(kept ?? "")).not.toBeNull();
    },
  );
});

test.each(KINDS)(
  "what another phone wrote comes whole or not at all under $name, lasting: $lasting",
  async (kind) => {
    const phone = new Writer();
    phone.put("car/make", "Tarn");
    phone.put("items/rust.arches/choice", "holed");
    phone.put("items/rust.arches/note", "behind the lip");
    const batch: Batch = phone.batch();
    await tab.log.append([put("car/make", "mine")]);
    await atEveryRequest(
      kind.name,
      kind.lasting,
      () => receive(tab.log, batch),
      async (done) => {
        const theirs = (await tab.log.chains.tops())[phone.device] ?? 0;
        // an earlier round may have brought it whole
        expect([0, 3]).toContain(theirs);
        if (done) expect(theirs).toBe(3);
        expect((await tab.log.chains.row(phone.device))?.seq ?? 0).toBe(theirs);
        expect(await tab.log.chains.eventsIn(scope)).toHaveLength(1 + theirs);
      },
    );
    await expect(receive(tab.log, { ...batch, head: "" })).rejects.toThrow(BatchRefused);
  },
);

test.each(KINDS)("folding goes on where $name ended it, lasting: $lasting", async (kind) => {
  const phone = new Writer();
  phone.put("car/make", "Tarn");
  phone.put("car/model", "Nine");
  phone.put("items/rust.arches/choice", "holed");
  await receive(tab.log, phone.batch());
  await atEveryRequest(
    kind.name,
    kind.lasting,
    () => tab.log.rows.foldDirty(visit, ask),
    async (done) => {
      const shown = Object.keys(await tab.log.rows.cellsOf(visit)).length;
      if (done) expect(shown).toBe(3);
    },
  );
  await tab.log.rows.foldDirty(visit, ask);
  expect(await tab.log.rows.foldDirty(visit, ask)).toBe(0);
  const cells = await tab.log.rows.cellsOf(visit);
  expect(Object.entries(cells).map(([path, { value }]) => [path, value])).toEqual([
    ["car/make", "Tarn"],
    ["car/model", "Nine"],
    ["items/rust.arches/choice", "holed"],
  ]);
});

test.each(KINDS)(
  "a phone that begins a new chain has either the old or the new under $name, lasting: $lasting",
  async (kind) => {
    await tab.log.append([put("car/make", "Tarn")]);
    await tab.log.append([put("car/make", "Tarn & Daughter")]);
    await tab.log.append([put("car/model", "Nine")]);
    await tab.log.rows.settle();
    const before = await tab.device();
    const values = async () =>
      (await tab.ownEvents())
        .filter((event) => event.scope === scope)
        .map((event) => [event.put, event.value]);
    await atEveryRequest(
      kind.name,
      kind.lasting,
      async () => {
        const [first] = await tab.ownEvents();
        const continuing = { device: before, seq: 1, head: "", why: "forked" } as const;
        if ((await tab.device()) !== before) return newTab().log.append([put("car/vin", "1")]);
        return beginChain(
          tab.log,
          ask,
          { ...continuing, head: second.hashOf(first as LogEvent) },
          { device: before, after: 1 },
        );
      },
      async () => {
        await chainHolds(await tab.ownEvents());
        const isOld = (await tab.device()) === before;
        const late = [
          ["car/make", '"Tarn & Daughter"'],
          ["car/model", '"Nine"'],
        ];
        const all = isOld ? [["car/make", '"Tarn"'], ...late] : late;
        expect((await values()).slice(0, all.length)).toEqual(all);
        const cells = await tab.log.rows.cellsOf(visit);
        expect(cells["car/make"]?.value).toBe("Tarn & Daughter");
        expect(await tab.log.chains.top(before)).toBe(isOld ? 3 : 1);
      },
    );
    expect(await tab.device()).not.toBe(before);
  },
);

test.each(KINDS)(
  "an order to erase is carried out after $name, lasting: $lasting",
  async (kind) => {
    const [phone, shop] = [new Writer(), new Writer()];
    const sha256 = await keep("a number plate");
    const note = phone.put("items/rust.arches/note", "Ask for Tilda Wexalby");
    const photo = phone.put(`items/rust.arches/photos/${sha256}`, { caption: "plate" });
    for (const { put: path, commit, seq } of [note, photo]) {
      shop.put(`erase/${phone.device}/${seq}`, { put: path, commit }, [], "shop");
    }
    await receive(tab.log, phone.batch());
    await tab.log.rows.foldDirty(visit, ask);
    await tab.log.facts.write("shop", [shop.device]);
    await receive(tab.log, shop.batch());
    await atEveryRequest(
      kind.name,
      kind.lasting,
      () => applyOrders(tab.log, ask),
      async (done) => {
        const [first] = await tab.log.chains.events(phone.device, 1);
        const isErased = first?.value === undefined;
        if (done) expect(isErased).toBe(true);
        expect((await tab.photos.bytes(sha256)) === null).toBe(isErased);
        await tab.log.rows.foldDirty(visit, ask);
        const cells = await tab.log.rows.cellsOf(visit);
        const shown = cells["items/rust.arches/note"]?.value;
        expect(shown).toBe(isErased ? null : "Ask for Tilda Wexalby");
        if (!isErased) return;
        await tab.log.facts.write("ordersDue", "again");
      },
    );
  },
);

test.each(KINDS)(
  "a chain is dropped whole or not at all under $name, lasting: $lasting",
  async (kind) => {
    const phone = new Writer();
    phone.put("car/make", "Tarn");
    phone.put("car/model", "Nine");
    phone.put("car/colour", "green");
    await receive(tab.log, phone.batch(1, 1));
    await receive(tab.log, phone.batch(2, 3));
    await atEveryRequest(
      kind.name,
      kind.lasting,
      () => drop(tab.log, phone.device, 1),
      async (done) => {
        const top = await tab.log.chains.top(phone.device);
        expect(done ? [1] : [1, 3]).toContain(top);
        const row = await tab.log.chains.row(phone.device);
        expect([row?.seq, row?.head]).toEqual([
          top,
          second.hashOf(phone.events[top - 1] as LogEvent),
        ]);
      },
    );
  },
);

test.each(KINDS)(
  "photos that the server holds are marked together under $name, lasting: $lasting",
  async (kind) => {
    const names: string[] = [];
    for (const text of ["one", "two", "three"]) names.push(await keep(text));
    await atEveryRequest(
      kind.name,
      kind.lasting,
      () => tab.photos.markHeld(names.slice(0, 2)),
      async (done) => {
        const unsent = (await tab.photos.unsent()).map((card) => card.sha256);
        expect(unsent).toContain(names[2]);
        // both or neither: the server named them in one answer
        expect([1, 3]).toContain(unsent.length);
        if (done) expect(unsent).toHaveLength(1);
        await tab.photos.forgetHeld();
        expect(await tab.photos.unsent()).toHaveLength(3);
      },
    );
  },
);

test.each(KINDS)(
  "what was acknowledged is noted or not under $name, lasting: $lasting",
  async (kind) => {
    await tab.log.append([put("car/make", "Tarn")]);
    const known = await tab.log.facts.sync();
    await atEveryRequest(
      kind.name,
      kind.lasting,
      () => tab.log.facts.write("sync", { ...known, acknowledged: 1 }),
      async (done) => {
        const stock = await takeStock(tab.log, tab.photos);
        const { acknowledged } = await tab.log.facts.sync();
        expect(stock.unsentEvents).toBe(acknowledged === 1 ? 0 : 1);
        if (done) expect(stock.unsentEvents).toBe(0);
        else expect(stock.unsentEvents).toBe(1);
        await tab.log.facts.write("sync", known);
      },
    );
  },
);
