import { beforeEach, expect, test, vi } from "vitest";
import type { LogEvent } from "../../src/shared/event";
import { AHEAD_MS, stampTime } from "../../src/store/log/clock";
import { BatchRefused, hashOf, idOf } from "../../src/store/log/events";
import { receive } from "../../src/store/log/receiving";
import { ask } from "../judge";
import { newPhone, newTab, put, scope, type Tab, visit } from "./store";
import * as second from "./writer";
import { Writer } from "./writer";

const HOUR_MS = 3_600_000;

let tab: Tab;
beforeEach(async () => {
  tab = await newPhone();
});

const PADS = "items/brakes.front-pads/grade";
const grade = (value: string) => put(PADS, { grade: value });
const text = (value: unknown) => JSON.stringify(value);

async function chainHolds(events: LogEvent[]): Promise<void> {
  let prev = "";
  let seq = 0;
  let at = "";
  for (const event of events) {
    seq += 1;
    expect(event.seq).toBe(seq);
    expect(event.prev).toBe(prev);
    expect(event.at > at).toBe(true);
    expect(event.commit).toBe(second.commitOf(event.salt as string, event.value as string));
    prev = second.hashOf(event);
    at = event.at;
  }
}

/** As after a killed tab: the same storage, nothing remembered. */
async function reopened(): Promise<Tab> {
  await tab.close();
  tab = newTab();
  return tab;
}

test("a device is named by its key, which never leaves and signs", async () => {
  const own = await tab.log.identity.get();
  expect(own.device).toBe(second.deviceOf(own.key));
  expect(own.private.extractable).toBe(false);
  await expect(crypto.subtle.exportKey("pkcs8", own.private)).rejects.toThrow();
  const again = await (await reopened()).log.identity.get();
  expect(again.device).toBe(own.device);
  const { sign } = await import("../../src/store/keys");
  const signature = await sign(again, "bradawl");
  expect(second.isSignedBy(own.key, "bradawl", signature)).toBe(true);
});

test("what was recorded is there after the tab was killed, with its place in the chain", async () => {
  await tab.log.append([grade("minor")]);
  await reopened();
  await tab.log.append([grade("major"), put("car/make", "Tarn")]);
  await reopened();
  const events = await tab.ownEvents();
  expect(events.map((event) => event.put)).toEqual([PADS, PADS, "car/make"]);
  await chainHolds(events);
  expect((await tab.log.rows.cellsOf(visit))[PADS]?.value).toEqual({ grade: "major" });
});

test("every write of the record waits for the disk", async () => {
  const asked: (string | undefined)[] = [];
  const real = IDBDatabase.prototype.transaction;
  const spy = vi.spyOn(IDBDatabase.prototype, "transaction").mockImplementation(function (
    this: IDBDatabase,
    stores,
    mode,
    options,
  ) {
    const names = [stores].flat();
    if (mode === "readwrite" && (names.includes("events") || names.includes("photos"))) {
      asked.push(names.includes("groups") ? undefined : options?.durability);
    }
    return real.call(this, stores, mode, options);
  });
  await tab.log.append([grade("minor")]);
  const other = new Writer();
  other.put("car/make", "Tarn");
  await receive(tab.log, other.batch());
  const bytes = new TextEncoder().encode("picture").buffer as ArrayBuffer;
  const size = { width: 1, height: 1, taken: null, place: null, thumb: null };
  await tab.photos.keep(visit, { bytes, type: "image/jpeg", ...size });
  spy.mockRestore();
  expect(asked.filter((one) => one !== undefined)).toEqual(["strict", "strict", "strict"]);
});

test("a tap is one transaction of one request", async () => {
  await tab.log.append([grade("minor")]);
  const stores: string[][] = [];
  const add = vi.spyOn(IDBObjectStore.prototype, "add");
  const real = IDBDatabase.prototype.transaction;
  const spy = vi.spyOn(IDBDatabase.prototype, "transaction").mockImplementation(function (
    this: IDBDatabase,
    names,
    mode,
    options,
  ) {
    stores.push([names].flat() as string[]);
    return real.call(this, names, mode, options);
  });
  await tab.log.append([grade("major")]);
  spy.mockRestore();
  expect(stores).toEqual([["events"]]);
  expect(add).toHaveBeenCalledTimes(1);
  add.mockRestore();
});

test("an entry names what its writer had before it", async () => {
  await tab.log.append([grade("minor")]);
  await tab.log.append([grade("major")]);
  const [first, later] = await tab.ownEvents();
  expect(first?.over).toEqual([]);
  expect(later?.over).toEqual([second.idOf(first as LogEvent)]);
});

test("taps in quick succession each get their own place", async () => {
  await Promise.all(Array.from({ length: 30 }, (_, n) => tab.log.append([grade(`g${n}`)])));
  const events = await tab.ownEvents();
  expect(events).toHaveLength(30);
  await chainHolds(events);
});

test("two tabs that write at once write one chain", async () => {
  const other = newTab();
  await tab.log.append([put("car/make", "Tarn")]);
  await other.log.append([put("car/model", "Nine")]);
  for (let n = 0; n < 8; n += 1) {
    await Promise.all([
      tab.log.append([put("car/colour", `one ${n}`)]),
      other.log.append([put("car/vin", `other ${n}`)]),
    ]);
  }
  const events = await tab.ownEvents();
  expect(events).toHaveLength(18);
  await chainHolds(events);
});

test("what another tab has folded meanwhile is not overwritten, and the judge is asked", async () => {
  await tab.log.append([put("car/make", "Mine")]);
  await tab.log.rows.settle();
  // the other tab takes in and folds another phone's words; this one has not looked since
  const other = newTab();
  const phone = new Writer();
  const theirs = phone.put("car/make", "Theirs");
  await receive(other.log, phone.batch());
  await other.log.rows.foldDirty(visit, ask);
  await tab.log.append([put("car/make", "Mine, again")]);
  const [mine, again] = await tab.ownEvents();
  // it names what its writer had seen, and nothing else
  expect(again?.over).toEqual([idOf(mine as LogEvent)]);
  await tab.log.rows.settle();
  expect(await tab.log.rows.foldDirty(visit, ask)).toBe(1);
  const cell = (await tab.log.rows.cellsOf(visit))["car/make"];
  expect(cell?.value).toBe("Mine, again");
  expect(cell?.others).toEqual([{ value: "Theirs", at: theirs.at }]);
});

test("a tab killed before the rows followed the log loses nothing", async () => {
  await tab.log.append([grade("minor")]);
  await tab.log.rows.settle();
  await tab.log.append([grade("major"), put("car/make", "Tarn")]);
  await tab.log.append([grade("dangerous")]);
  await reopened();
  const shown = await tab.log.rows.cellsOf(visit);
  expect(shown[PADS]?.value).toEqual({ grade: "dangerous" });
  expect(shown["car/make"]?.value).toBe("Tarn");
  const [first] = await tab.log.rows.visitsHere();
  expect(first?.last).toBe(stampTime((await tab.ownEvents(4))[0]?.at as string));
  await reopened();
  await tab.log.append([grade("none")]);
  const events = await tab.ownEvents();
  await chainHolds(events);
  expect(events[4]?.over).toEqual([idOf(events[3] as LogEvent)]);
  // once they follow, they say the same
  const late = await tab.log.rows.cellsOf(visit);
  await tab.log.rows.settle();
  await reopened();
  expect(await tab.log.rows.cellsOf(visit)).toEqual(late);
  expect(await tab.log.rows.foldDirty(visit, ask)).toBe(0);
  expect((await tab.log.facts.read("settled"))?.seq).toBe(5);
});

test("the first visit of a phone is there after a tab killed at once", async () => {
  await tab.log.append([put("about/bundle", "0".repeat(64))]);
  await reopened();
  expect((await tab.log.rows.visitsHere()).map((row) => row.visit)).toEqual([visit]);
  expect(Object.keys(await tab.log.rows.cellsOf(visit))).toEqual(["about/bundle"]);
});

test("what stands and what is shown are what the judge says, whoever wrote it", async () => {
  const phone = new Writer();
  const theirs = phone.put(PADS, { grade: "dangerous" });
  await receive(tab.log, phone.batch());
  await tab.log.append([grade("minor")]);
  await tab.log.append([grade("major")]);
  await tab.log.append([put("car/make", "Tarn")]);
  await tab.log.append([put("car/make", null)]);
  await tab.log.rows.settle();
  await tab.log.rows.foldDirty(visit, ask);
  const events = (await tab.log.chains.eventsIn(scope)).map((event) => ({
    ...event,
    value: JSON.parse(event.value as string),
  }));
  const folded = await ask({ ask: "fold", events });
  expect(await tab.log.rows.cellsOf(visit)).toEqual(folded.cells);
  await tab.log.append([grade("none")]);
  const last = (await tab.ownEvents()).at(-1);
  expect(last?.over).toEqual(folded.live[PADS]);
  expect(last?.over).toContain(idOf(theirs));
});

test("a group that another tab writes to while it is folded is folded again", async () => {
  const phone = new Writer();
  phone.put("car/make", "Theirs");
  await receive(tab.log, phone.batch());
  const other = newTab();
  let asked = 0;
  const interrupted: typeof ask = async (question) => {
    asked += 1;
    if (asked === 1) await other.log.append([put("car/make", "Other tab")]);
    return ask(question);
  };
  await tab.log.rows.foldDirty(visit, interrupted);
  expect((await tab.log.rows.cellsOf(visit))["car/make"]?.others).toEqual([]);
  expect(await tab.log.rows.foldDirty(visit, interrupted)).toBe(1);
  expect((await tab.log.rows.cellsOf(visit))["car/make"]?.others).toHaveLength(1);
});

test("half a character is recorded as it was typed and shown as U+FFFD", async () => {
  const shown = await tab.log.append([put("car/make", "Ta\ud83drn")]);
  expect(shown["car/make"]?.value).toBe("Ta\ufffdrn");
  const [event] = await tab.ownEvents();
  expect(event?.value).toBe('"Ta\\ud83drn"');
  await chainHolds(await tab.ownEvents());
  await tab.log.rows.settle();
  await reopened();
  expect((await tab.log.rows.cellsOf(visit))["car/make"]?.value).toBe("Ta\ufffdrn");
});

test("what the record cannot hold is refused with a sentence and nothing is written", async () => {
  expect(() => tab.log.append([put("car/year", 19.5)])).toThrow("phone-error-fraction");
  expect(() => tab.log.append([put("Car Year", 1)])).toThrow("phone-error-not-recordable");
  await expect(tab.log.append([put("car/make", "x".repeat(70_000))])).rejects.toThrow(
    "phone-error-too-long",
  );
  expect(await tab.ownEvents()).toEqual([]);
  await tab.log.append([grade("minor")]);
  await chainHolds(await tab.ownEvents());
});

// clocks

test("a clock set back while the app is open does not disturb the order", async () => {
  await tab.log.append([grade("minor")], () => 2_000_000_000_000);
  await tab.log.append([grade("major")], () => 1_000);
  await chainHolds(await tab.ownEvents());
});

test("a new stamp is greater than every stamp received that lies within a day", async () => {
  const now = Date.now();
  const phone = new Writer(now + AHEAD_MS - HOUR_MS);
  const theirs = phone.put("car/make", "Tarn");
  await tab.log.ready();
  await receive(tab.log, phone.batch());
  for (const again of [false, true]) {
    if (again) await reopened();
    const before = (await tab.ownEvents()).length;
    await tab.log.append([grade("minor")]);
    expect(((await tab.ownEvents())[before] as LogEvent).at > theirs.at).toBe(true);
  }
});

test("a stamp years ahead sets no clock, neither of this tab nor of the next", async () => {
  const phone = new Writer(Date.now() + 10 * 365 * 24 * HOUR_MS);
  const theirs = phone.put(PADS, { grade: "dangerous" });
  await tab.log.ready();
  await receive(tab.log, phone.batch());
  await tab.log.rows.foldDirty(visit, ask);
  for (const again of [false, true]) {
    if (again) await reopened();
    // it stands at the path and is named there, and still sets no clock
    await tab.log.append([grade("minor")]);
    const own = (await tab.ownEvents()).at(-1) as LogEvent;
    if (!again) expect(own.over).toEqual([idOf(theirs)]);
    expect(Math.abs(stampTime(own.at) - Date.now())).toBeLessThan(60_000);
  }
});

test("what is far ahead is told by the server's clock where this phone's runs behind", async () => {
  const mark = await tab.log.facts.sync();
  await tab.log.facts.write("sync", { ...mark, skew: 40 * 24 * HOUR_MS });
  const phone = new Writer(Date.now() + 40 * 24 * HOUR_MS);
  const theirs = phone.put("car/make", "Tarn");
  await receive(tab.log, phone.batch());
  await tab.log.append([grade("minor")]);
  expect(((await tab.ownEvents())[0] as LogEvent).at > theirs.at).toBe(true);
});

test("a phone whose own clock was once years ahead goes on with its chain", async () => {
  await tab.log.append([grade("minor")], () => Date.now() + 10 * 365 * 24 * HOUR_MS);
  await reopened();
  await tab.log.append([grade("major")]);
  await chainHolds(await tab.ownEvents());
});

// what the shop ordered of this phone

test("what the shop fences of this phone is for the judge to show, each new entry too", async () => {
  await tab.log.append([put("car/make", "Tarn")]);
  await tab.log.rows.settle();
  const orders = { clock: {}, fence: { [await tab.device()]: [[2, null, "stolen"]] }, erase: [] };
  await tab.log.facts.write("orders", orders as never);
  await tab.log.append([put("car/make", "Someone else's")]);
  await tab.log.rows.settle();
  expect(await tab.log.rows.foldDirty(visit, ask)).toBe(1);
  expect((await tab.log.rows.cellsOf(visit))["car/make"]?.value).toBe("Tarn");
});

// what others wrote

test("a batch of another phone is kept whole, and a damaged one not at all", async () => {
  const phone = new Writer();
  phone.put("car/make", "Tarn");
  phone.put("car/model", "Nine");
  const damaged = phone.batch();
  Object.assign(damaged.events[1] as object, { value: text("Ten") });
  await expect(receive(tab.log, damaged)).rejects.toThrow(BatchRefused);
  expect(await tab.log.chains.tops()).toEqual({});
  expect(await receive(tab.log, phone.batch())).toEqual({ count: 2, visits: [visit] });
  expect(await receive(tab.log, phone.batch())).toEqual({ count: 0, visits: [] });
  await tab.log.append([grade("minor")]);
  const own = await tab.device();
  expect(await tab.log.chains.tops()).toEqual({ [phone.device]: 2, [own]: 1 });
  expect(await tab.log.chains.through(scope)).toEqual({ [phone.device]: 2, [own]: 1 });
  for (let n = 3; n < 12; n += 1) phone.put("car/colour", `colour ${n}`);
  await expect(receive(tab.log, phone.batch(9))).rejects.toThrow("phone-error-batch-gap");
});

test("a batch that continues another past than the one held is not kept", async () => {
  const phone = new Writer();
  phone.put("car/make", "Tarn");
  const copy = phone.copy();
  phone.put("car/model", "Nine");
  await receive(tab.log, phone.batch());
  copy.put("car/model", "Ten");
  copy.put("car/colour", "green");
  await expect(receive(tab.log, copy.batch(3))).rejects.toThrow("phone-error-copies-part");
  expect(await tab.log.chains.tops()).toEqual({ [phone.device]: 2 });
});

test("a batch is not kept without its device's own signature", async () => {
  const [phone, forger] = [new Writer(), new Writer()];
  phone.put("car/make", "Tarn");
  const batch = phone.batch();
  const headText = `bradawl-head-2\n${phone.device}\n1\n${batch.head}`;
  for (const change of [
    { signature: forger.sign(headText) },
    { signature: forger.sign(headText), key: forger.key },
    { signature: phone.sign(`${headText} `) },
    { key: "" },
  ]) {
    await expect(receive(tab.log, { ...batch, ...change })).rejects.toThrow(BatchRefused);
  }
  expect(await tab.log.chains.tops()).toEqual({});
  expect(await tab.log.chains.signatures(phone.device, 0)).toEqual([]);
  await receive(tab.log, batch);
  const [row] = await tab.log.chains.signatures(phone.device, 0);
  expect(row).toEqual({ device: phone.device, seq: 1, signature: batch.signature });
});

test("a batch whose stamps do not rise is not kept, signed or not", async () => {
  const phone = new Writer(Date.now());
  phone.put("car/make", "Tarn");
  phone.ms -= 5_000;
  phone.put("car/model", "Nine");
  await expect(receive(tab.log, phone.batch())).rejects.toThrow(BatchRefused);
});

test("a value that came unseen is not named by an entry until it was folded and shown", async () => {
  await tab.log.append([put("car/make", "Mine")]);
  const phone = new Writer();
  const theirs = phone.put("car/make", "Theirs");
  await receive(tab.log, phone.batch());
  await tab.log.append([put("car/make", "Mine, again")]);
  const mine = await tab.ownEvents();
  expect(mine[1]?.over).toEqual([idOf(mine[0] as LogEvent)]);
  await tab.log.rows.settle();
  expect(await tab.log.rows.foldDirty(visit, ask)).toBe(1);
  expect(await tab.log.rows.foldDirty(visit, ask)).toBe(0);
  await tab.log.append([put("car/make", "Settled")]);
  const last = (await tab.ownEvents()).at(-1) as LogEvent;
  expect(last.over).toEqual([idOf(mine[1] as LogEvent), idOf(theirs)].sort());
});

test("own events that come back from the server are continued, and count as sent", async () => {
  // what this phone wrote, as a copy of its storage from before does not have it
  await tab.log.append([grade("minor")]);
  const own = await tab.log.identity.get();
  const [first] = await tab.ownEvents();
  await tab.log.append([grade("major")]);
  const [, later] = await tab.ownEvents();
  await tab.log.rows.settle();
  const { headText, sign } = await import("../../src/store/keys");
  const { batchOf } = await import("../../src/store/log/chains");
  const head = await hashOf(later as LogEvent);
  const signature = await sign(own, headText(own.device, 2, head));
  const batch = await batchOf(own.key, [later as LogEvent], signature);
  await tab.store.transact(["events", "meta"], (tx) => {
    void tx.objectStore("events").delete([own.device, 2]);
    void tx.objectStore("meta").put({ device: own.device, seq: 1 }, "settled");
  });
  await reopened();
  expect(await tab.ownEvents()).toEqual([first]);
  expect(await receive(tab.log, batch)).toEqual({ count: 1, visits: [visit] });
  expect((await tab.log.facts.sync()).acknowledged).toBe(2);
  await tab.log.append([grade("none")]);
  await chainHolds(await tab.ownEvents());
});

test("another tab with a newer database gets it, and this one is told", async () => {
  await tab.log.append([grade("minor")]);
  let told = false;
  tab.store.whenOutdated(() => {
    told = true;
  });
  await new Promise<void>((resolve, reject) => {
    const request = indexedDB.open("bradawl", 99);
    request.onsuccess = () => {
      request.result.close();
      resolve();
    };
    request.onerror = () => reject(request.error);
  });
  expect(told).toBe(true);
});
