/**
 * The browser's database, opened once per page and reopened when the browser drops it.
 *
 * A browser may also delete it under the running app (site data cleared, room made, a profile put
 * back). So it carries a marker, made with it: where that is another one than this page began with,
 * what the page has in memory belongs to a storage that is gone, and nothing of it may be continued.
 */

import { openDB, unwrap, wrap } from "idb";
import { message, Told } from "../shared/said";
import { newId } from "./encoding";
import {
  create,
  type Database,
  OLDEST_READ,
  type Schema,
  type StoreName,
  VERSION,
  type Writing,
} from "./schema";

const NAME = "bradawl";
const OPEN_LIMIT_MS = 8_000;

/** The database is not to be had. */
export class StoreClosed extends Told {
  override name = "StoreClosed";
}

/** What this page had stored is gone. */
export class StoreVanished extends Told {
  override name = "StoreVanished";
  constructor() {
    super(message("phone-gone-what"));
  }
}

/** The database is of app 0.1, which no later app reads. */
export class StoreTooOld extends Told {
  override name = "StoreTooOld";
  constructor() {
    super(message("phone-old-text"));
  }
}

export class Store {
  private opening: Promise<Database> | null = null;
  /** Marker of the storage that this page began with; null before it was first opened. */
  private marker: string | null = null;
  private gone = false;
  private tellOutdated: () => void = () => undefined;
  private tellVanished: () => void = () => undefined;

  /** Called when another tab carries a newer version of the database: this page must step aside. */
  whenOutdated(tell: () => void): void {
    this.tellOutdated = tell;
  }

  /** Called once when what this page had stored turns out to be gone. */
  whenVanished(tell: () => void): void {
    this.tellVanished = tell;
  }

  /** Whether what this page had stored is gone; until `beginAnew` nothing is read or written. */
  get vanished(): boolean {
    return this.gone;
  }

  /** After `StoreVanished`: take the storage as it is now. */
  beginAnew(): void {
    this.gone = false;
    this.marker = null;
    this.opening = null;
  }

  private open(): Promise<Database> {
    let why: "blocked" | "old" | null = null;
    const opened = openDB<Schema>(NAME, VERSION, {
      upgrade(database, from, _to, tx) {
        quietly(tx.done);
        if (from > 0 && from < OLDEST_READ) {
          why = "old";
          tx.abort();
          return;
        }
        create(database, from);
        // whoever upgrades goes on with the storage that is there
        if (from === 0) quietly(tx.objectStore("meta").put(newId(), "marker"));
      },
      blocked() {
        why = "blocked";
      },
      blocking: (_current, wanted, event) => {
        (event.target as IDBDatabase).close();
        this.opening = null;
        // a newer tab waits for this one; or somebody deletes the database
        if (wanted === null) void this.look();
        else this.tellOutdated();
      },
      terminated: () => {
        this.opening = null;
        void this.look();
      },
    }).catch((problem) => {
      throw why === "old" ? new StoreTooOld() : problem;
    });
    const late = new Promise<never>((_resolve, reject) => {
      setTimeout(() => {
        const id = why === "blocked" ? "phone-error-blocked" : "phone-error-closed";
        reject(new StoreClosed(message(id)));
      }, OPEN_LIMIT_MS);
    });
    return Promise.race([opened, late]);
  }

  /** Open, and see that it is the storage that this page began with. */
  private async enter(): Promise<Database> {
    const database = leaveNoEnd(await this.open());
    const marker = (await database.get("meta", "marker")) as string | undefined;
    if (this.marker !== null && marker !== this.marker) {
      database.close();
      throw this.vanish();
    }
    this.marker = marker ?? newId();
    if (marker === undefined) await database.put("meta", this.marker, "marker");
    return database;
  }

  private vanish(): StoreVanished {
    const first = !this.gone;
    this.gone = true;
    this.opening = null;
    if (first) this.tellVanished();
    return new StoreVanished();
  }

  /** The open database; one promise for all who ask. */
  private database(): Promise<Database> {
    if (this.gone) return Promise.reject(new StoreVanished());
    if (this.opening === null) {
      const opening = this.enter();
      this.opening = opening;
      opening.catch(() => {
        if (this.opening === opening) this.opening = null;
      });
    }
    return this.opening;
  }

  /** Whether a marker that was read is that of another storage; then all who ask are told so. */
  isOtherStorage(marker: unknown): boolean {
    if (this.marker === null || marker === this.marker) return false;
    const dead = this.opening;
    this.vanish();
    void dead?.then((old) => old.close()).catch(() => undefined);
    return true;
  }

  /** See whether what this page has stored is still there. */
  async look(): Promise<void> {
    try {
      this.isOtherStorage(await this.run((database) => database.get("meta", "marker")));
    } catch {
      // it is not to be had now, or gone and said: whoever needs it next will hear
    }
  }

  /** Work on the database; when the browser has dropped the connection, reopen and try once more. */
  async run<T>(work: (database: Database) => Promise<T>): Promise<T> {
    try {
      return await work(await this.database());
    } catch (problem) {
      if (!connectionIsDead(problem)) throw problem;
      const dead = this.opening;
      this.opening = null;
      void dead?.then((old) => old.close()).catch(() => undefined);
      return work(await this.database());
    }
  }

  /**
   * One transaction, all of it on the disk when this resolves, none of it when it rejects. Within
   * `work`, requests need not be awaited unless their answer is wanted: hand them to `quietly`.
   * "relaxed" is for what can be made anew: whole or absent as well, and on the disk in a while.
   */
  transact<T>(
    stores: StoreName[],
    work: (tx: Writing) => T | Promise<T>,
    durability: "strict" | "relaxed" = "strict",
  ): Promise<T> {
    return this.run(async (open) => {
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

  /** Close and forget the connection (tests; and before the app replaces itself). */
  async close(): Promise<void> {
    const closing = this.opening;
    this.opening = null;
    if (closing !== null) (await closing).close();
  }
}

/** Delete the database, whatever is in it. */
export function clearStore(): Promise<void> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.deleteDatabase(NAME);
    request.onsuccess = () => resolve();
    request.onerror = () => reject(request.error);
  });
}

function connectionIsDead(problem: unknown): boolean {
  if (!(problem instanceof DOMException)) return false;
  if (problem.name === "InvalidStateError") return true;
  // WebKit after backgrounding: UnknownError "Connection to Indexed Database server lost"
  return problem.name === "UnknownError" && /connection/i.test(problem.message);
}

/**
 * Whoever only reads waits for the answers, not for the transaction's end. The library promises that
 * end all the same: where the browser takes the storage away meanwhile, nobody would hear its error.
 */
function leaveNoEnd(database: Database): Database {
  const real = unwrap(database);
  real.transaction = (...what) => {
    const tx = IDBDatabase.prototype.transaction.apply(real, what);
    quietly(wrap(tx).done);
    return tx;
  };
  return database;
}

/** A request whose failure shows as the transaction's: nobody need wait for it. */
export function quietly(request: Promise<unknown>): void {
  request.catch(() => undefined);
}
