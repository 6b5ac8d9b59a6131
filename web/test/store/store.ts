/** A new, empty store for each test. A `Phone` is what one tab has in memory of it. */

import "fake-indexeddb/auto";
import { IDBFactory } from "fake-indexeddb";
import type { LogEvent, Put } from "../../src/shared/event";
import { Store } from "../../src/store/database";
import { Log } from "../../src/store/log/log";
import { Photos } from "../../src/store/photos";

export const visit = "a1".repeat(16);
export const scope = `inspection/${visit}`;

export function newStorage(): void {
  globalThis.indexedDB = new IDBFactory();
}

/** One tab: its connection and what it remembers. */
export class Tab {
  readonly store = new Store();
  readonly log = new Log(this.store);
  readonly photos = new Photos(this.store);

  /** As when the tab is killed. */
  async close(): Promise<void> {
    this.log.rows.stopSettling();
    await this.store.close();
  }

  async ownEvents(from = 1): Promise<LogEvent[]> {
    return this.log.chains.events((await this.log.identity.get()).device, from);
  }

  device(): Promise<string> {
    return this.log.identity.get().then(({ device }) => device);
  }
}

let open: Tab[] = [];

/** A tab on the present storage, as a page that was just opened. */
export function newTab(): Tab {
  const tab = new Tab();
  open.push(tab);
  return tab;
}

/** A tab on an empty storage; all others are gone. */
export async function newPhone(): Promise<Tab> {
  await closeTabs();
  newStorage();
  return newTab();
}

export async function closeTabs(): Promise<void> {
  for (const tab of open) await tab.close().catch(() => undefined);
  open = [];
}

export function put(path: string, value: Put["value"]): Put {
  return { scope, put: path, value };
}

/** All that lies in the storage, as a backup of the phone would have it. */
export async function copyOfStorage(): Promise<Map<string, [key: IDBValidKey, row: unknown][]>> {
  const stores = new Map<string, [IDBValidKey, unknown][]>();
  const tab = new Tab();
  await tab.store.run(async (database) => {
    for (const name of database.objectStoreNames) {
      const { store } = database.transaction(name);
      const [keys, rows] = [await store.getAllKeys(), await store.getAll()];
      stores.set(
        name,
        keys.map((key, n) => [key, rows[n]]),
      );
    }
  });
  await tab.close();
  return stores;
}

/** A phone whose storage was set back to a copy; a tab on it. */
export async function setBack(copy: Awaited<ReturnType<typeof copyOfStorage>>): Promise<Tab> {
  await closeTabs();
  newStorage();
  const tab = new Tab();
  await tab.store.run(async (database) => {
    const names = [...database.objectStoreNames];
    const tx = database.transaction(names, "readwrite");
    for (const name of names) {
      const store = tx.objectStore(name);
      await store.clear();
      for (const [key, row] of copy.get(name) ?? []) {
        await (store.keyPath === null
          ? store.put(row as never, key as never)
          : store.put(row as never));
      }
    }
    await tx.done;
  });
  await tab.close();
  return newTab();
}
