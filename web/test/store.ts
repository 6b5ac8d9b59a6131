/** A new, empty store for each test; the modules keep their state between opens as a page does. */

import "fake-indexeddb/auto";
import { IDBFactory } from "fake-indexeddb";
import { closeDatabase } from "../src/store/database";
import { forgetHead } from "../src/store/log";

export async function newStore(): Promise<void> {
  await closeDatabase();
  forgetHead();
  globalThis.indexedDB = new IDBFactory();
}

/** As after a killed tab: the same store, nothing remembered. */
export async function reopened(): Promise<void> {
  await closeDatabase();
  forgetHead();
}

export const visit = "a1".repeat(16);
