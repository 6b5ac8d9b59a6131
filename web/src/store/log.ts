/**
 * The event log of this phone: append own events, take in those of others.
 *
 * How an event is complete before it is acknowledged. The chain hash of the *previous* event is
 * all that a new one needs, so it is worked out (WebCrypto, in order) before the transaction
 * opens; the transaction then only writes whole events with `add`. If another tab has appended
 * in between, `add` meets a taken seq, the transaction aborts, and everything is worked out anew
 * from what now stands. No lock is held, and a tab that dies holds up nobody.
 *
 * An own event names in `over` every stamp still live at its path, so its cell afterwards is its
 * own value and nothing beside it: that much needs no judge and is stored with the event. What
 * comes from other devices marks its group as dirty, and the judge folds it.
 */

import { type Batch, type Cells, groupOf, type LogEvent, type Put } from "../shared/event";
import { hashOfEvent, refuseBadPut } from "./chain";
import { nextStamp, stampTime } from "./clock";
import { type GroupRow, quietly, transact, withDatabase } from "./database";
import { deviceId, newId } from "./meta";

interface Head {
  device: string;
  seq: number;
  hash: string;
  /** Greatest stamp seen, own or other. */
  seen: string;
}

let head: Head | null = null;
let turn: Promise<unknown> = Promise.resolve();

/** Forget what is remembered of the chain (another tab wrote, or a test starts anew). */
export function forgetHead(): void {
  head = null;
}

/** One append after the other within this tab: each must see the last one's event. */
function inTurn<T>(work: () => Promise<T>): Promise<T> {
  const mine = turn.then(work, work);
  turn = mine.catch(() => undefined);
  return mine;
}

async function lastEventOf(device: string): Promise<LogEvent | undefined> {
  return withDatabase(async (database) => {
    const range = IDBKeyRange.bound([device, 0], [device, Number.MAX_SAFE_INTEGER]);
    const cursor = await database.transaction("events").store.openCursor(range, "prev");
    return cursor?.value;
  });
}

async function readHead(): Promise<Head> {
  if (head !== null) return head;
  const device = await deviceId();
  const last = await lastEventOf(device);
  const seen = await withDatabase(
    async (database) => ((await database.get("meta", "seen")) as string | undefined) ?? "",
  );
  head = {
    device,
    seq: last?.seq ?? 0,
    hash: last === undefined ? "" : await hashOfEvent(last),
    seen: last !== undefined && last.at > seen ? last.at : seen,
  };
  return head;
}

function key(visit: string, group: string): string {
  return `${visit} ${group}`;
}

async function readGroups(puts: Put[]): Promise<Map<string, GroupRow>> {
  return withDatabase(async (database) => {
    const rows = new Map<string, GroupRow>();
    const store = database.transaction("groups").store;
    for (const { visit, put } of puts) {
      const group = groupOf(put);
      if (rows.has(key(visit, group))) continue;
      const row = await store.get([visit, group]);
      rows.set(key(visit, group), row ?? { visit, group, cells: {}, live: {} });
    }
    return rows;
  });
}

async function chain(
  puts: Put[],
  wall: number,
): Promise<{ events: LogEvent[]; rows: GroupRow[]; next: Head }> {
  const rows = await readGroups(puts);
  let { device, seq, hash, seen } = await readHead();
  const events: LogEvent[] = [];
  for (const { visit, put, value } of puts) {
    const row = rows.get(key(visit, groupOf(put))) as GroupRow;
    seq += 1;
    seen = nextStamp(seen, wall, device);
    const over = [...(row.live[put] ?? [])].sort();
    const event: LogEvent = { device, seq, prev: hash, at: seen, visit, put, value, over };
    hash = await hashOfEvent(event);
    row.live[put] = [event.at];
    row.cells[put] = { value, at: event.at, others: [] };
    events.push(event);
  }
  return { events, rows: [...rows.values()], next: { device, seq, hash, seen } };
}

async function write(events: LogEvent[], rows: GroupRow[]): Promise<void> {
  await transact(["events", "groups", "visits"], async (tx) => {
    const visits = tx.objectStore("visits");
    for (const event of events) quietly(tx.objectStore("events").add(event));
    for (const row of rows) quietly(tx.objectStore("groups").put(row));
    const last = stampTime(events[events.length - 1]?.at ?? "0");
    for (const visit of new Set(events.map((event) => event.visit))) {
      const row = await visits.get(visit);
      quietly(visits.put({ visit, first: row?.first ?? last, last }));
    }
  });
}

function seqWasTaken(problem: unknown): boolean {
  return problem instanceof DOMException && problem.name === "ConstraintError";
}

/**
 * Append own events, all or none. Resolves when they are on the disk, with the cells they made.
 * Raises NotAnEvent for a value that the record cannot hold, and the browser's own error when
 * the write failed.
 */
export function append(puts: Put[], wall: () => number = Date.now): Promise<Cells> {
  for (const { put, value } of puts) refuseBadPut(put, value);
  return inTurn(async () => {
    for (let attempt = 1; ; attempt += 1) {
      const { events, rows, next } = await chain(puts, wall());
      try {
        await write(events, rows);
      } catch (problem) {
        forgetHead();
        if (seqWasTaken(problem) && attempt < 5) continue;
        throw problem;
      }
      head = next;
      return Object.fromEntries(
        events.map((event) => [event.put, { value: event.value, at: event.at, others: [] }]),
      );
    }
  });
}

/** Raised when a batch from the server does not continue what this phone holds. */
export class BatchRefused extends Error {
  override name = "BatchRefused";
}

/**
 * Take in a batch of another device (or of this one, after the browser lost its storage).
 * The chain is checked link by link; nothing is kept of a batch that does not hold.
 * Returns the visits it touched.
 */
export function receive(batch: Batch): Promise<string[]> {
  return inTurn(async () => {
    const last = await lastEventOf(batch.device);
    const held = last?.seq ?? 0;
    if (batch.from_seq > held + 1) {
      throw new BatchRefused(
        `The server sent entries from ${batch.from_seq} on, but this phone holds only ${held} of that device.`,
      );
    }
    const events: LogEvent[] = [];
    let prev = batch.prev;
    let seq = batch.from_seq;
    let expected = last === undefined ? "" : await hashOfEvent(last);
    for (const sent of batch.events) {
      const event: LogEvent = { device: batch.device, seq, prev, ...sent };
      if (seq === held + 1 && prev !== expected) {
        throw new BatchRefused(
          "The server's copy of another device does not continue this phone's.",
        );
      }
      prev = await hashOfEvent(event);
      if (seq > held) events.push(event);
      seq += 1;
    }
    expected = batch.head;
    if (prev !== expected) {
      throw new BatchRefused("A batch of entries arrived damaged; it was not kept.");
    }
    await writeReceived(events);
    const own = await deviceId();
    if (batch.device === own) forgetHead();
    else if (head !== null) {
      for (const event of events) if (event.at > head.seen) head.seen = event.at;
    }
    return [...new Set(events.map((event) => event.visit))];
  });
}

async function writeReceived(events: LogEvent[]): Promise<void> {
  if (events.length === 0) return;
  await transact(["events", "dirty", "visits", "meta"], async (tx) => {
    const meta = tx.objectStore("meta");
    const groups = new Map<string, { visit: string; group: string; token: string }>();
    const times = new Map<string, { first: number; last: number }>();
    let seen = ((await meta.get("seen")) as string | undefined) ?? "";
    for (const event of events) {
      quietly(tx.objectStore("events").put(event));
      const group = groupOf(event.put);
      groups.set(key(event.visit, group), { visit: event.visit, group, token: newId() });
      if (event.at > seen) seen = event.at;
      const at = stampTime(event.at);
      const time = times.get(event.visit) ?? { first: at, last: at };
      times.set(event.visit, { first: Math.min(time.first, at), last: Math.max(time.last, at) });
    }
    for (const row of groups.values()) quietly(tx.objectStore("dirty").put(row));
    const visits = tx.objectStore("visits");
    for (const [visit, { first, last }] of times) {
      const row = await visits.get(visit);
      quietly(
        visits.put({
          visit,
          first: Math.min(row?.first ?? first, first),
          last: Math.max(row?.last ?? last, last),
        }),
      );
    }
    quietly(meta.put(seen, "seen"));
  });
}

/** The stamps that no later event at their path names: what a writer has before them. */
export function liveStamps(
  events: Pick<LogEvent, "put" | "at" | "over">[],
): Record<string, string[]> {
  const dead = new Set<string>();
  for (const event of events) {
    for (const stamp of event.over) if (stamp < event.at) dead.add(`${event.put} ${stamp}`);
  }
  const live: Record<string, string[]> = {};
  for (const event of events) {
    if (dead.has(`${event.put} ${event.at}`)) continue;
    const stamps = live[event.put] ?? [];
    if (!stamps.includes(event.at)) stamps.push(event.at);
    live[event.put] = stamps;
  }
  for (const stamps of Object.values(live)) stamps.sort();
  return live;
}

/** All events of one group of a visit. */
export async function eventsOfGroup(visit: string, group: string): Promise<LogEvent[]> {
  return withDatabase(async (database) => {
    const index = database.transaction("events").store.index("by_path");
    const exact = await index.getAll(IDBKeyRange.only([visit, group]));
    const below = await index.getAll(
      IDBKeyRange.bound([visit, `${group}/`], [visit, `${group}/\uffff`]),
    );
    return [...exact, ...below];
  });
}

/** All events of a visit, without what they say. */
export async function eventsOfVisit(
  visit: string,
): Promise<Pick<LogEvent, "device" | "seq" | "put">[]> {
  const range = IDBKeyRange.bound([visit, ""], [visit, "\uffff"]);
  const events = await withDatabase((database) =>
    database.getAllFromIndex("events", "by_path", range),
  );
  return events.map(({ device, seq, put }) => ({ device, seq, put }));
}

/**
 * Fold the groups of a visit that other devices wrote to. `fold` asks the judge. A group that
 * was written to meanwhile stays dirty.
 */
export async function foldDirty(
  visit: string,
  fold: (events: LogEvent[]) => Promise<Cells>,
): Promise<number> {
  const rows = await withDatabase((database) =>
    database.getAll("dirty", IDBKeyRange.bound([visit, ""], [visit, "\uffff"])),
  );
  for (const { group, token } of rows) {
    // in turn with appends: the events read here are all there are until the row is written
    await inTurn(async () => {
      const events = await eventsOfGroup(visit, group);
      const cells = await fold(events);
      await transact(["groups", "dirty"], async (tx) => {
        const mark = await tx.objectStore("dirty").get([visit, group]);
        if (mark?.token !== token) return;
        quietly(tx.objectStore("groups").put({ visit, group, cells, live: liveStamps(events) }));
        quietly(tx.objectStore("dirty").delete([visit, group]));
      });
    });
  }
  return rows.length;
}

/** The folded record of a visit as it stands on this phone. */
export async function cellsOf(visit: string): Promise<Cells> {
  const rows = await withDatabase((database) =>
    database.getAll("groups", IDBKeyRange.bound([visit, ""], [visit, "\uffff"])),
  );
  return Object.assign({}, ...rows.map((row) => row.cells)) as Cells;
}

/** Own events from a seq on, at most `count`. */
export async function ownEvents(from: number, count?: number): Promise<LogEvent[]> {
  const device = await deviceId();
  return withDatabase((database) =>
    database.getAll(
      "events",
      IDBKeyRange.bound([device, from], [device, Number.MAX_SAFE_INTEGER]),
      count,
    ),
  );
}

/** Highest seq held per device. Skips from device to device, so it reads few rows. */
export async function held(): Promise<Record<string, number>> {
  return withDatabase(async (database) => {
    const result: Record<string, number> = {};
    let cursor = await database.transaction("events").store.openCursor(null, "prev");
    while (cursor !== null) {
      const [device, seq] = cursor.key;
      result[device] = seq;
      cursor = await cursor.continue([device, 0]);
    }
    return result;
  });
}

/** Up to which seq each device has written to this visit: what a seal covers. */
export async function throughOf(visit: string): Promise<Record<string, number>> {
  return withDatabase(async (database) => {
    const range = IDBKeyRange.bound([visit, ""], [visit, "\uffff"]);
    const keys = await database.getAllKeysFromIndex("events", "by_path", range);
    const through: Record<string, number> = {};
    for (const [device, seq] of keys) through[device] = Math.max(through[device] ?? 0, seq);
    return through;
  });
}
