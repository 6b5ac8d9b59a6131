/**
 * The browser's database, opened once per page and reopened when the browser drops it.
 *
 * What lies here: the event log, the photos, and what is derived from the log (cells, the last
 * assessment) so that a start needs no folding.
 */

import { type DBSchema, type IDBPDatabase, type IDBPTransaction, openDB } from "idb";
import type { Assessment } from "../shared/assessment";
import type { Cells, LogEvent } from "../shared/event";

export interface PhotoRow {
  sha256: string;
  visit: string;
  type: string;
  /** WebKit cannot be trusted with Blobs in IndexedDB: bytes and type instead. */
  bytes: ArrayBuffer;
}

export interface PhotoCard {
  sha256: string;
  visit: string;
  size: number;
  type: string;
  thumb: ArrayBuffer | null;
  /** 0 = still to be sent, 1 = the server said that it holds it. */
  held: 0 | 1;
  /** ms since 1970 */
  stored: number;
}

export interface GroupRow {
  visit: string;
  group: string;
  cells: Cells;
  /** Stamps still standing per path: what a new event at that path names in `over`. */
  live: Record<string, string[]>;
}

export interface VisitRow {
  visit: string;
  /** ms since 1970 of the first and the latest event this phone has seen. */
  first: number;
  last: number;
}

interface Schema extends DBSchema {
  events: {
    key: [string, number];
    value: LogEvent;
    indexes: { by_path: [string, string] };
  };
  groups: { key: [string, string]; value: GroupRow };
  dirty: { key: [string, string]; value: { visit: string; group: string; token: string } };
  visits: { key: string; value: VisitRow };
  assessments: {
    key: string;
    /** `stamp`: latest stamp of the record that was judged. */
    value: {
      visit: string;
      bundle: string;
      today: string;
      stamp?: string;
      assessment: Assessment;
    };
  };
  photos: { key: string; value: PhotoRow };
  cards: { key: string; value: PhotoCard; indexes: { by_held: number; by_visit: string } };
  meta: { key: string; value: unknown };
}

export type Database = IDBPDatabase<Schema>;
export type StoreName =
  | "events"
  | "groups"
  | "dirty"
  | "visits"
  | "assessments"
  | "photos"
  | "cards"
  | "meta";

const VERSION = 1;
const OPEN_LIMIT_MS = 8_000;

/** The database is not to be had. The message is a sentence for the person. */
export class StoreClosed extends Error {
  override name = "StoreClosed";
}

let opening: Promise<Database> | null = null;
let onOutdated: () => void = () => undefined;

/** Called when another tab carries a newer version of the database: this page must step aside. */
export function whenOutdated(tell: () => void): void {
  onOutdated = tell;
}

function open(): Promise<Database> {
  let blocked = false;
  const opened = openDB<Schema>("bradawl", VERSION, {
    upgrade(database, from) {
      if (from < 1) {
        const events = database.createObjectStore("events", { keyPath: ["device", "seq"] });
        events.createIndex("by_path", ["visit", "put"]);
        database.createObjectStore("groups", { keyPath: ["visit", "group"] });
        database.createObjectStore("dirty", { keyPath: ["visit", "group"] });
        database.createObjectStore("visits", { keyPath: "visit" });
        database.createObjectStore("assessments", { keyPath: "visit" });
        database.createObjectStore("photos", { keyPath: "sha256" });
        const cards = database.createObjectStore("cards", { keyPath: "sha256" });
        cards.createIndex("by_held", "held");
        cards.createIndex("by_visit", "visit");
        database.createObjectStore("meta");
      }
    },
    blocked() {
      blocked = true;
    },
    blocking(_current, _wanted, event) {
      // a newer tab waits for this one: close, so that it can go on, and say so here
      (event.target as IDBDatabase).close();
      opening = null;
      onOutdated();
    },
    terminated() {
      opening = null;
    },
  });
  const late = new Promise<never>((_resolve, reject) => {
    setTimeout(() => {
      reject(
        new StoreClosed(
          blocked
            ? "Bradawl is open in another tab with an older version. Close that tab; this one goes on by itself."
            : "The browser does not open its storage. Close Bradawl fully and open it again; nothing recorded is lost.",
        ),
      );
    }, OPEN_LIMIT_MS);
  });
  return Promise.race([opened, late]);
}

/** The open database; one promise for all who ask. */
export function database(): Promise<Database> {
  if (opening === null) {
    opening = open();
    opening.catch(() => {
      opening = null;
    });
  }
  return opening;
}

function connectionIsDead(problem: unknown): boolean {
  if (!(problem instanceof DOMException)) return false;
  if (problem.name === "InvalidStateError") return true;
  // WebKit after backgrounding: UnknownError "Connection to Indexed Database server lost"
  return problem.name === "UnknownError" && /connection/i.test(problem.message);
}

/** Run `work` on the database; when the browser has dropped the connection, reopen and try once more. */
export async function withDatabase<T>(work: (database: Database) => Promise<T>): Promise<T> {
  try {
    return await work(await database());
  } catch (problem) {
    if (!connectionIsDead(problem)) throw problem;
    const dead = opening;
    opening = null;
    void dead?.then((old) => old.close()).catch(() => undefined);
    return work(await database());
  }
}

type Writing = IDBPTransaction<Schema, StoreName[], "readwrite">;

/**
 * One transaction, all of it on the disk when this resolves, none of it when it rejects. Within
 * `work`, requests need not be awaited unless their answer is wanted: hand them to `quietly`.
 * "relaxed" is for what can be made anew: whole or absent as well, and on the disk in a while.
 */
export async function transact<T>(
  stores: StoreName[],
  work: (tx: Writing) => T | Promise<T>,
  durability: "strict" | "relaxed" = "strict",
): Promise<T> {
  return withDatabase(async (open) => {
    const tx = open.transaction(stores, "readwrite", { durability });
    quietly(tx.done);
    // the request that failed knows the cause; all others only report the abort that follows. On
    // its way down to the request: the library gives up, without the cause, on its way back
    let cause: DOMException | null = null;
    tx.addEventListener(
      "error",
      (event) => {
        cause ??= (event.target as IDBRequest).error;
      },
      { capture: true },
    );
    try {
      const result = await work(tx);
      await tx.done;
      return result;
    } catch (problem) {
      try {
        tx.abort();
      } catch {
        // it had already ended by itself
      }
      const aborted = problem instanceof DOMException && problem.name === "AbortError";
      throw (aborted ? (cause ?? tx.error) : null) ?? problem;
    }
  });
}

/** A request whose failure shows as the transaction's: nobody need wait for it. */
export function quietly(request: Promise<unknown>): void {
  request.catch(() => undefined);
}

/** Close and forget the connection (tests; and before the app replaces itself). */
export async function closeDatabase(): Promise<void> {
  const closing = opening;
  opening = null;
  if (closing !== null) (await closing).close();
}
