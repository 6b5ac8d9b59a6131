/** Storage that goes away under the open app: said with the next tap, and nothing dead is continued. */

import { forceCloseDatabase } from "fake-indexeddb";
import { beforeEach, expect, test, vi } from "vitest";
import { clearStore, Store, StoreTooOld, StoreVanished } from "../../src/store/database";
import { newPhone, newStorage, newTab, put, type Tab, visit } from "./store";
import * as second from "./writer";

let tab: Tab;
let told = 0;

beforeEach(async () => {
  tab = await newPhone();
  told = 0;
  tab.store.whenVanished(() => {
    told += 1;
  });
});

/** As another page, or the browser's own settings, would. */
function deleteDatabase(): Promise<void> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.deleteDatabase("bradawl");
    request.onsuccess = () => resolve();
    request.onerror = () => reject(request.error);
  });
}

/** The browser closes the connection under the page. */
async function forceClose(of: Tab): Promise<void> {
  const open = await of.store.run(async (database) => database);
  const { unwrap } = await import("idb");
  forceCloseDatabase(unwrap(open) as never);
  await new Promise((resolve) => setTimeout(resolve, 20));
}

async function goesOnAnew(before: string): Promise<void> {
  await expect(tab.log.append([put("car/make", "lost")])).rejects.toThrow(StoreVanished);
  expect(told).toBe(1);
  tab.store.beginAnew();
  tab.log.forget();
  await tab.log.append([put("car/model", "Nine")]);
  const events = await tab.ownEvents();
  expect(events.map((event) => [event.seq, event.prev, event.put])).toEqual([[1, "", "car/model"]]);
  const own = await tab.log.identity.get();
  expect(own.device).not.toBe(before);
  expect(second.deviceOf(own.key)).toBe(own.device);
  expect(own.origin).toBeNull();
  // nothing of the old is shown as if it were there
  expect(Object.keys(await tab.log.rows.cellsOf(visit))).toEqual(["car/model"]);
  expect(await tab.log.facts.sync()).toMatchObject({ acknowledged: 0, answered: 0 });
}

test("deleted while it is open: the next tap says so, and a new chain begins", async () => {
  await tab.log.append([put("car/make", "Tarn")]);
  const before = await tab.device();
  await deleteDatabase();
  await goesOnAnew(before);
});

test("closed by the browser and empty when opened again", async () => {
  await tab.log.append([put("car/make", "Tarn")]);
  const before = await tab.device();
  newStorage();
  await forceClose(tab);
  // said without a tap
  expect(told).toBe(1);
  await goesOnAnew(before);
});

test("closed by the browser and whole when opened again: the chain goes on", async () => {
  await tab.log.append([put("car/make", "Tarn")]);
  const before = await tab.device();
  await forceClose(tab);
  await tab.log.append([put("car/model", "Nine")]);
  expect(told).toBe(0);
  expect(await tab.device()).toBe(before);
  expect((await tab.ownEvents()).map((event) => event.seq)).toEqual([1, 2]);
});

test("emptied under an open connection: it is noticed as the rows follow", async () => {
  await tab.log.append([put("car/make", "Tarn")]);
  const before = await tab.device();
  await tab.store.run(async (database) => {
    for (const name of database.objectStoreNames) await database.clear(name);
  });
  await tab.log.append([put("car/make", "not yet noticed")]);
  await tab.log.rows.settle();
  expect(told).toBe(1);
  await expect(tab.log.append([put("car/make", "lost")])).rejects.toThrow(StoreVanished);
  tab.store.beginAnew();
  tab.log.forget();
  const own = await tab.log.identity.get();
  expect(own.device).not.toBe(before);
});

test("what nobody has is still in the page's memory, to be recorded once more", async () => {
  const photo = `items/rust.arches/photos/${"0".repeat(64)}`;
  await tab.log.append([put("car/make", "Tarn"), put("car/model", "Nine")]);
  await tab.log.append([put("car/make", null), put("seal/1", { name: "Ada" }), put(photo, {})]);
  tab.log.sentUpTo(await tab.device(), 1);
  await deleteDatabase();
  await tab.store.look();
  expect(tab.log.unsentHere()).toBe(2);
  const puts = tab.log.takeUnsent();
  expect(puts).toEqual([put("car/model", "Nine"), put("car/make", null)]);
  expect(tab.log.unsentHere()).toBe(0);
  tab.store.beginAnew();
  tab.log.forget();
  await tab.log.append(puts);
  expect((await tab.ownEvents()).map((event) => event.seq)).toEqual([1, 2]);
});

test("looked at when the page comes back to the front", async () => {
  await tab.log.append([put("car/make", "Tarn")]);
  await tab.store.look();
  expect(told).toBe(0);
  await tab.store.run((database) => database.delete("meta", "marker"));
  await tab.store.look();
  expect(told).toBe(1);
});

test("every open tab is told, and the second takes what the first began", async () => {
  const other = newTab();
  let toldOther = 0;
  other.store.whenVanished(() => {
    toldOther += 1;
  });
  await tab.log.append([put("car/make", "Tarn")]);
  await other.log.append([put("car/model", "Nine")]);
  await deleteDatabase();
  await vi.waitFor(() => expect([told, toldOther]).toEqual([1, 1]), 30_000);
  tab.store.beginAnew();
  tab.log.forget();
  await tab.log.append([put("car/make", "Tarn")]);
  other.store.beginAnew();
  other.log.forget();
  await other.log.append([put("car/model", "Nine")]);
  expect((await tab.ownEvents()).map((event) => event.put)).toEqual(["car/make", "car/model"]);
});

test("a database of app 0.1 is refused in a sentence, and stays until it is cleared", async () => {
  newStorage();
  await new Promise<void>((resolve) => {
    const request = indexedDB.open("bradawl", 1);
    request.onupgradeneeded = () => {
      const events = request.result.createObjectStore("events", { keyPath: ["device", "seq"] });
      events.put({ device: "d1".repeat(16), seq: 1, put: "car/make", value: "Tarn" });
    };
    request.onsuccess = () => {
      request.result.close();
      resolve();
    };
  });
  const store = new Store();
  for (const _ of [1, 2]) {
    await expect(store.run(async () => undefined)).rejects.toThrow(StoreTooOld);
  }
  const kept = await new Promise<number>((resolve) => {
    const request = indexedDB.open("bradawl");
    request.onsuccess = () => {
      const count = request.result.transaction("events").objectStore("events").count();
      count.onsuccess = () => {
        request.result.close();
        resolve(count.result);
      };
    };
  });
  expect(kept).toBe(1);
  await clearStore();
  await store.run(async () => undefined);
  await store.close();
});
