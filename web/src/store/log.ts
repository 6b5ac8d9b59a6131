/**
 * The event log of this phone: append own events, take in those of others.
 *
 * How an event is complete before it is acknowledged. All that a new one needs is the chain hash
 * of the *previous* event and the stamps that stand at its path; both are remembered, so a tap is
 * one transaction that `add`s whole events (its own hash is worked out beside it). If another tab
 * has appended in between, `add` meets a taken seq; if it has folded in between, the stamps read
 * in the transaction are others; either way the transaction aborts, and everything is worked out
 * anew from what now stands. No lock is held, and a tab that dies holds up nobody.
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
  hash: Promise<string>;
  /** Greatest stamp seen, own or other. */
  seen: string;
}

let head: Head | null = null;
/** Per group, the live stamps at each path as this tab last read or wrote them. */
const standing = new Map<string, Record<string, string[]>>();
let turn: Promise<unknown> = Promise.resolve();

/** Forget what is remembered of the chain (another tab wrote, or a test starts anew). */
export function forgetHead(): void {
  head = null;
  standing.clear();
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
    hash: last === undefined ? Promise.resolve("") : hashOfEvent(last),
    seen: last !== undefined && last.at > seen ? last.at : seen,
  };
  return head;
}

function key(visit: string, group: string): string {
  return `${visit} ${group}`;
}

async function readStanding(puts: Put[]): Promise<void> {
  const unknown = puts.filter(({ visit, put }) => !standing.has(key(visit, groupOf(put))));
  if (unknown.length === 0) return;
  await withDatabase(async (database) => {
    const store = database.transaction("groups").store;
    await Promise.all(
      unknown.map(async ({ visit, put }) => {
        const group = groupOf(put);
        standing.set(key(visit, group), (await store.get([visit, group]))?.live ?? {});
      }),
    );
  });
}

/** Read what the first tap needs, so that it need not wait for that. */
export async function readyToAppend(): Promise<void> {
  await inTurn(readHead);
}

async function chain(puts: Put[], wall: number): Promise<{ events: LogEvent[]; next: Head }> {
  await readStanding(puts);
  let { device, seq, hash, seen } = await readHead();
  const events: LogEvent[] = [];
  const before = new Map<string, string>();
  for (const { visit, put, value } of puts) {
    const own = before.get(key(visit, put));
    const live = standing.get(key(visit, groupOf(put)))?.[put] ?? [];
    const over = own === undefined ? [...live].sort() : [own];
    for (const stamp of over) if (stamp > seen) seen = stamp;
    seq += 1;
    seen = nextStamp(seen, wall, device);
    const event: LogEvent = { device, seq, prev: await hash, at: seen, visit, put, value, over };
    hash = hashOfEvent(event);
    before.set(key(visit, put), seen);
    events.push(event);
  }
  return { events, next: { device, seq, hash, seen } };
}

/** Another tab has folded what others wrote since this one looked. */
class Overtaken extends Error {
  override name = "Overtaken";
}

async function write(events: LogEvent[]): Promise<void> {
  const keys = new Map(
    events.map(({ visit, put }) => [key(visit, groupOf(put)), [visit, groupOf(put)] as const]),
  );
  const last = stampTime(events[events.length - 1]?.at ?? "0");
  await transact(["events", "groups", "visits"], async (tx) => {
    const groups = tx.objectStore("groups");
    const visits = tx.objectStore("visits");
    for (const event of events) quietly(tx.objectStore("events").add(event));
    const [times, rows] = await Promise.all([
      Promise.all(
        [...new Set(events.map(({ visit }) => visit))].map(
          async (visit) => (await visits.get(visit)) ?? { visit, first: last, last },
        ),
      ),
      Promise.all(
        [...keys.values()].map(
          async ([visit, group]) =>
            (await groups.get([visit, group])) ?? { visit, group, cells: {}, live: {} },
        ),
      ),
    ]);
    for (const { visit, put, value, at, over } of events) {
      const row = rows.find((one) => one.visit === visit && one.group === groupOf(put)) as GroupRow;
      if (String([...(row.live[put] ?? [])].sort()) !== String(over)) throw new Overtaken();
      row.live[put] = [at];
      row.cells[put] = { value, at, others: [] };
    }
    for (const row of rows) quietly(groups.put(row));
    for (const row of times) quietly(visits.put({ ...row, last }));
    // nothing more comes: the answers to these puts need not be waited for
    tx.commit();
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
      const { events, next } = await chain(puts, wall());
      try {
        await write(events);
      } catch (problem) {
        forgetHead();
        if ((seqWasTaken(problem) || problem instanceof Overtaken) && attempt < 5) continue;
        throw problem;
      }
      head = next;
      for (const { visit, put, at } of events) {
        const live = standing.get(key(visit, groupOf(put)));
        if (live !== undefined) live[put] = [at];
      }
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

/**
 * Events of a visit beyond these seqs per device, without what they say: what a seal does not
 * cover. All of them where nothing is named.
 */
export async function eventsOfVisit(
  visit: string,
  through: Record<string, number> = {},
): Promise<Pick<LogEvent, "device" | "seq" | "put">[]> {
  const devices = Object.keys(await held());
  const events = await withDatabase((database) => {
    const { store } = database.transaction("events");
    return Promise.all(
      devices.map((device) => {
        const first = (through[device] ?? 0) + 1;
        return store.getAll(IDBKeyRange.bound([device, first], [device, Number.MAX_SAFE_INTEGER]));
      }),
    );
  });
  return events
    .flat()
    .filter((event) => event.visit === visit)
    .map(({ device, seq, put }) => ({ device, seq, put }));
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
      standing.delete(key(visit, group));
    });
  }
  return rows.length;
}

/** The folded record of a visit as it stands on this phone. */
export async function cellsOf(visit: string): Promise<Cells> {
  const rows = await withDatabase((database) =>
    database.getAll("groups", IDBKeyRange.bound([visit, ""], [visit, "\uffff"])),
  );
  for (const { group, live } of rows) standing.set(key(visit, group), live);
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

/** Highest seq held per device. Looks for each anew: a cursor told to skip walks row by row. */
export async function held(): Promise<Record<string, number>> {
  return withDatabase(async (database) => {
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

/** Highest own seq. */
export async function ownTop(): Promise<number> {
  const range = IDBKeyRange.bound(
    [await deviceId(), 0],
    [await deviceId(), Number.MAX_SAFE_INTEGER],
  );
  return withDatabase(async (database) => {
    const cursor = await database.transaction("events").store.openKeyCursor(range, "prev");
    return cursor?.key[1] ?? 0;
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
