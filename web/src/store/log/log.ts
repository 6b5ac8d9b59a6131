/**
 * The event log of this phone: its own chain, and what belongs to it.
 *
 * How an event is complete before it is acknowledged. All that a new one needs is the hash of the
 * *previous* event and what stands at its path; both are remembered, so a tap is one transaction
 * that `add`s whole events and nothing else (its commitment is worked out before, its own hash
 * beside it). If another tab has appended in between, `add` meets a taken seq; the transaction
 * aborts, and everything is worked out anew from what now stands. No lock is held, and a tab that
 * dies holds up nobody.
 */

import type { Cells, LogEvent, Put } from "../../shared/event";
import { quietly, type Store, StoreVanished } from "../database";
import { Facts, type Own } from "../facts";
import { Identity } from "../identity";
import { SerialQueue } from "../serial-queue";
import { Chains } from "./chains";
import { laterBelieved, nextStamp } from "./clock";
import { hashOf, idOf, refuseBadPath, shownValue, written } from "./events";
import { Rows } from "./rows";
import { textOf } from "./values";

const ATTEMPTS = 5;
const STAMP_LETTERS = 54;

/** The end of the own chain. */
export interface Head {
  own: Own;
  seq: number;
  hash: Promise<string>;
  /** The own last stamp: the next one is greater. */
  last: string;
  /** Greatest stamp that was believed, own or other. */
  seen: string;
  /** Server's clock minus this phone's, ms, when this was read. */
  skew: number;
}

interface Entry {
  scope: string;
  put: string;
  text: string;
}

export class Log {
  readonly chains: Chains;
  readonly facts: Facts;
  readonly identity: Identity;
  readonly rows: Rows;
  readonly queue = new SerialQueue();
  private head: Head | null = null;
  /** What this page has recorded and nobody has acknowledged: all that remains if the storage goes. */
  private readonly unsent: LogEvent[] = [];

  constructor(readonly store: Store) {
    this.chains = new Chains(store);
    this.facts = new Facts(store);
    this.identity = new Identity(store);
    this.rows = new Rows(store, this.queue);
    this.rows.whenSettling((device) => {
      if (this.head !== null && this.head.own.device !== device) this.forget();
    });
  }

  /** Forget what is remembered of the chain (it was written to elsewhere). */
  forget(): void {
    this.head = null;
    this.rows.forget();
  }

  /** Read what the first tap needs, so that it need not wait for that. */
  async ready(): Promise<void> {
    await this.queue.run(() => this.readHead());
  }

  /** The end of the own chain, as this tab knows it. Only in turn. */
  async readHead(): Promise<Head> {
    if (this.head !== null) return this.head;
    const own = await this.identity.refresh();
    const [last, seen, { skew }] = await Promise.all([
      this.chains.last(own.device),
      this.facts.read("seen"),
      this.facts.sync(),
    ]);
    this.head = {
      own,
      seq: last?.seq ?? 0,
      hash: last === undefined ? Promise.resolve("") : hashOf(last),
      last: last?.at ?? "",
      seen: seen ?? "",
      skew,
    };
    return this.head;
  }

  /** Stamps of others were seen: later own ones are greater than those that are believed. */
  believe(stamps: string[], bestKnown_ms: number): void {
    if (this.head === null) return;
    for (const stamp of stamps) {
      this.head.seen = laterBelieved(this.head.seen, stamp, bestKnown_ms);
    }
  }

  /** The server has a device's events up to a seq. */
  sentUpTo(device: string, seq: number): void {
    const left = this.unsent.filter((event) => event.device !== device || event.seq > seq);
    this.unsent.splice(0, this.unsent.length, ...left);
  }

  /** Entries of a device after a seq are now others, or left out: what nobody has is named anew. */
  moved(device: string, after: number, now: Map<number, LogEvent>): void {
    const kept = this.unsent
      .map((event) => {
        const isMoved = event.device === device && event.seq > after;
        return isMoved ? now.get(event.seq) : event;
      })
      .filter((event) => event !== undefined);
    this.unsent.splice(0, this.unsent.length, ...kept);
  }

  /** How many entries `takeUnsent` would give. */
  unsentHere(): number {
    return this.unsent.filter(isRecordable).length;
  }

  /**
   * What this page has recorded and the server has not acknowledged, to be recorded once more after
   * the storage is gone.
   */
  takeUnsent(): Put[] {
    const puts = this.unsent
      .splice(0, this.unsent.length)
      .filter(isRecordable)
      .map(({ scope, put, value }) => ({ scope, put, value: JSON.parse(value as string) }));
    return puts;
  }

  private async chain(
    entries: Entry[],
    wall_ms: number,
  ): Promise<{ events: LogEvent[]; next: Head }> {
    await this.rows.readStanding(entries);
    const head = await this.readHead();
    let { seq, hash, last, seen } = head;
    const events: LogEvent[] = [];
    const before = new Map<string, string>();
    for (const { scope, put, text } of entries) {
      const own = before.get(`${scope} ${put}`);
      const over = own === undefined ? this.rows.standingAt(scope, put) : [own];
      for (const id of over) {
        seen = laterBelieved(seen, id.slice(0, STAMP_LETTERS), wall_ms + head.skew);
      }
      seq += 1;
      // what was believed while the clock was wrong is believed no longer; but the own chain rises
      last = nextStamp(laterBelieved(last, seen, wall_ms + head.skew), wall_ms, head.own.device);
      const place = { device: head.own.device, seq, prev: await hash, at: last, scope, put, over };
      const event = await written(place, text);
      hash = hashOf(event);
      before.set(`${scope} ${put}`, idOf(event));
      events.push(event);
    }
    return { events, next: { ...head, seq, hash, last, seen } };
  }

  private async write(events: LogEvent[]): Promise<void> {
    await this.store.transact(["events"], (tx) => {
      for (const event of events) quietly(tx.objectStore("events").add(event));
      // nothing more comes: the answers need not be waited for
      tx.commit();
    });
  }

  /**
   * Append own events, all or none. Resolves when they are on the disk, with the cells they made.
   * Raises NotAnEvent for a value that the record cannot hold, StoreVanished where the storage is
   * gone, and the browser's own error when the write failed.
   */
  append(puts: Put[], wall: () => number = Date.now): Promise<Cells> {
    const entries = puts.map(entryOf);
    return this.queue.run(() => this.appendNow(async () => entries, wall));
  }

  /**
   * The same for entries that follow from what stands. `make` is called in turn, and once more
   * where another tab has written meanwhile.
   */
  appendMade(make: (own: Own) => Promise<Put[]>, wall: () => number = Date.now): Promise<Cells> {
    return this.queue.run(() =>
      this.appendNow(async () => {
        const { own } = await this.readHead();
        return (await make(own)).map(entryOf);
      }, wall),
    );
  }

  private async appendNow(make: () => Promise<Entry[]>, wall: () => number): Promise<Cells> {
    for (let attempt = 1; ; attempt += 1) {
      const entries = await make();
      const { events, next } = await this.chain(entries, wall());
      try {
        await this.write(events);
      } catch (problem) {
        this.forget();
        if (seqWasTaken(problem) && attempt < ATTEMPTS) continue;
        if (!isFull(problem)) await this.store.look();
        throw this.store.vanished ? new StoreVanished() : problem;
      }
      this.head = next;
      this.unsent.push(...events);
      this.rows.follow(events);
      return Object.fromEntries(
        events.map((event) => [event.put, { value: shownValue(event), at: event.at, others: [] }]),
      );
    }
  }
}

/** A person gives signatures; and the bytes of a photo are gone with the storage. */
function isRecordable({ put }: LogEvent): boolean {
  return !/^seal\/|\/photos\/|^media\//.test(put);
}

/** Raises NotAnEvent. */
function entryOf({ scope, put, value }: Put): Entry {
  refuseBadPath(put);
  return { scope, put, text: textOf(value) };
}

function seqWasTaken(problem: unknown): boolean {
  return problem instanceof DOMException && problem.name === "ConstraintError";
}

function isFull(problem: unknown): boolean {
  return problem instanceof DOMException && problem.name === "QuotaExceededError";
}
