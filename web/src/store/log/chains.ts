/** What this phone holds of each device's chain, and how it is read. */

import { type Batch, type LogEvent, PROTOCOL } from "../../shared/event";
import type { Store } from "../database";
import { type ChainRow, ofDevice, ofScope, type SignatureRow } from "../schema";
import { hashOf, sentForm } from "./events";

/** How far somebody holds each device: its highest seq, and that event's hash. */
export type Have = Record<string, [seq: number, head: string]>;

/** Where the server's copy of a chain had its batches end: seq and hash, rising. */
export type Boundaries = [seq: number, hash: string][];

export class Chains {
  constructor(private readonly store: Store) {}

  /** Every chain but this phone's own. */
  rows(): Promise<ChainRow[]> {
    return this.store.run((database) => database.getAll("chains"));
  }

  row(device: string): Promise<ChainRow | undefined> {
    return this.store.run((database) => database.get("chains", device));
  }

  async last(device: string): Promise<LogEvent | undefined> {
    return this.store.run(async (database) => {
      const { store } = database.transaction("events");
      return (await store.openCursor(ofDevice(device), "prev"))?.value;
    });
  }

  /** Highest seq of a device. Looked up: a cursor told to skip walks row by row. */
  top(device: string): Promise<number> {
    return this.store.run(async (database) => {
      const { store } = database.transaction("events");
      return (await store.openKeyCursor(ofDevice(device), "prev"))?.key[1] ?? 0;
    });
  }

  /** Highest seq of every device that is held. */
  tops(): Promise<Record<string, number>> {
    return this.store.run(async (database) => {
      const result: Record<string, number> = {};
      const { store } = database.transaction("events");
      let cursor = await store.openKeyCursor(null, "prev");
      while (cursor !== null) {
        const [device, seq] = cursor.key;
        result[device] = seq;
        cursor = await store.openKeyCursor(IDBKeyRange.upperBound([device, 0], true), "prev");
      }
      return result;
    });
  }

  /** A device's events from a seq on, at most `count`. */
  events(device: string, from: number, count?: number): Promise<LogEvent[]> {
    return this.store.run((database) => database.getAll("events", ofDevice(device, from), count));
  }

  /** Every event of a scope. */
  eventsIn(scope: string): Promise<LogEvent[]> {
    return this.store.run((database) =>
      database.getAllFromIndex("events", "by_path", ofScope(scope)),
    );
  }

  /** The hash of an event that is held; "" for seq 0, null where it is missing. */
  async hashAt(device: string, seq: number): Promise<string | null> {
    if (seq === 0) return "";
    const event = await this.store.run((database) => database.get("events", [device, seq]));
    return event === undefined ? null : hashOf(event);
  }

  /** How far each chain is held, without gaps; `own` is this phone's. */
  async have(own: { device: string; seq: number; head: string }): Promise<Have> {
    const have: Have = {};
    if (own.seq > 0) have[own.device] = [own.seq, own.head];
    for (const { device, seq, head, hole } of await this.rows()) {
      if (hole === undefined) have[device] = [seq, head];
      else if (hole > 1) have[device] = [hole - 1, (await this.hashAt(device, hole - 1)) ?? ""];
    }
    return have;
  }

  /** The first event up to `to` that is missing; null when all are there. */
  firstMissing(device: string, to: number): Promise<number | null> {
    return this.firstMissingFrom(device, 1, to);
  }

  /** The same from another event on than the first. */
  async firstMissingFrom(device: string, from: number, to: number): Promise<number | null> {
    if (to < from) return null;
    const range = ofDevice(device, from, to);
    const count = await this.store.run((database) => database.count("events", range));
    if (count === to - from + 1) return null;
    const keys = await this.store.run((database) => database.getAllKeys("events", range));
    return firstGap(
      keys.map(([, seq]) => seq),
      from,
    );
  }

  /** Up to which seq each device has written to a scope: what a seal covers. */
  async through(scope: string): Promise<Record<string, number>> {
    const keys = await this.store.run((database) =>
      database.getAllKeysFromIndex("events", "by_path", ofScope(scope)),
    );
    const through: Record<string, number> = {};
    for (const [device, seq] of keys) through[device] = Math.max(through[device] ?? 0, seq);
    return through;
  }

  /**
   * Events of a scope beyond these seqs per device, without what they say: what a seal does not
   * cover. All of them where nothing is named.
   */
  async beyond(
    scope: string,
    through: Record<string, number>,
  ): Promise<Pick<LogEvent, "device" | "seq" | "put">[]> {
    const keys = await this.store.run((database) =>
      database.getAllKeysFromIndex("events", "by_path", ofScope(scope)),
    );
    const beyond = keys.filter(([device, seq]) => seq > (through[device] ?? 0));
    const events = await this.store.run((database) => {
      const { store } = database.transaction("events");
      return Promise.all(beyond.map((key) => store.get(key)));
    });
    return events
      .filter((event) => event !== undefined)
      .map(({ device, seq, put }) => ({ device, seq, put }));
  }

  /** Signatures of a device beyond a seq, in order. */
  signatures(device: string, after: number): Promise<SignatureRow[]> {
    return this.store.run((database) => database.getAll("signatures", ofDevice(device, after + 1)));
  }

  /** The greatest of the server's boundaries that this phone's copy shares; 0 where it shares none. */
  async shared(device: string, boundaries: Boundaries): Promise<number> {
    for (const [seq, hash] of [...boundaries].sort(([a], [b]) => b - a)) {
      if ((await this.hashAt(device, seq)) === hash) return seq;
    }
    return 0;
  }
}

/** The first number from `from` on that a rising list lacks. */
export function firstGap(seqs: number[], from = 1): number {
  const at = seqs.findIndex((seq, index) => seq !== index + from);
  return (at === -1 ? seqs.length : at) + from;
}

/** Of one batch, as it is sent. */
export const BATCH_BYTES = 7_000_000;
/** As many as the server takes at once (server/bradawl/log/batches.py). */
export const EVENTS_A_BATCH = 2_000;

/** How much these events are in a batch, bytes, more or less. */
export function sizeOf(events: LogEvent[]): number {
  return events.reduce((sum, event) => sum + JSON.stringify(event).length, 0);
}

/** As many of these events, from the first on, as fit in a batch. */
export function fitting(events: LogEvent[]): LogEvent[] {
  let size_bytes = 0;
  for (const [index, event] of events.entries()) {
    size_bytes += sizeOf([event]);
    if (size_bytes > BATCH_BYTES && index > 0) return events.slice(0, index);
  }
  return events;
}

/** Consecutive events as they are sent, with the signature over the last. */
export async function batchOf(
  key: string,
  events: LogEvent[],
  signature: string,
): Promise<Required<Batch>> {
  const [first, last] = [events[0] as LogEvent, events[events.length - 1] as LogEvent];
  return {
    protocol: PROTOCOL,
    device: first.device,
    key,
    from_seq: first.seq,
    prev: first.prev,
    events: events.map(sentForm),
    head: await hashOf(last),
    signature,
  };
}
