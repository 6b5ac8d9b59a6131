/**
 * The event log of this phone: append own events, take in those of others.
 *
 * How an event is complete before it is acknowledged. All that a new one needs is the chain hash
 * of the *previous* event and the stamps that stand at its path; both are remembered, so a tap is
 * one transaction that `add`s whole events and nothing else (its own hash is worked out beside
 * it). If another tab has appended in between, `add` meets a taken seq; the transaction aborts,
 * and everything is worked out anew from what now stands. No lock is held, and a tab that dies
 * holds up nobody.
 *
 * An own event names in `over` every stamp that its writer had at its path, so its cell afterwards
 * is as a rule its own value and nothing beside it: that much needs no judge. The rows of cells
 * follow the log a moment later (`settle`), and say up to which own seq they do; whoever reads
 * them reads the few entries after that as well, so that a tab killed in between loses nothing.
 * Where stamps stand that the writer had not seen (other devices' events, or what another tab has
 * folded meanwhile), the group is marked as dirty, and the judge folds it.
 */

import { type Batch, type Cells, groupOf, type LogEvent, type Put } from "../shared/event";
import { hashOfEvent, refuseBadPut } from "./chain";
import { nextStamp, stampTime } from "./clock";
import { type GroupRow, quietly, transact, type VisitRow, withDatabase } from "./database";
import { deviceId, newId } from "./meta";

/** The thumb comes first: the rows follow when the card is drawn. */
const SETTLE_MS = 100;

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
/** Visits of which every group was read: one that is not there has no stamps. */
const whole = new Set<string>();
let turn: Promise<unknown> = Promise.resolve();
let settling: ReturnType<typeof setTimeout> | undefined;
/** Takes back the settling under way. */
const underWay = new Set<() => void>();

/** Forget what is remembered of the chain (another tab wrote, or a test starts anew). */
export function forgetHead(): void {
  head = null;
  standing.clear();
  whole.clear();
  clearTimeout(settling);
}

/** One append after the other within this tab: each must see the last one's event. */
function inTurn<T>(work: () => Promise<T>): Promise<T> {
  const mine = turn.then(work, work);
  turn = mine.catch(() => undefined);
  return mine;
}

async function lastEventOf(device: string): Promise<LogEvent | undefined> {
  return withDatabase(async (database) => {
    const cursor = await database
      .transaction("events")
      .store.openCursor(ownFrom(device, 0), "prev");
    return cursor?.value;
  });
}

async function readHead(): Promise<Head> {
  if (head !== null) return head;
  const device = await deviceId();
  await beginMark(device);
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
  for (const { visit, put } of puts) {
    const group = groupOf(put);
    if (standing.has(key(visit, group))) continue;
    if (whole.has(visit)) standing.set(key(visit, group), {});
    else await remember(visit, IDBKeyRange.only([visit, group]), [group]);
  }
}

/** Read rows, and know from now on what stands in them and in the groups that have none. */
async function remember(visit: string, range: IDBKeyRange, groups: string[]): Promise<GroupRow[]> {
  const rows = await rowsIn(visit, range);
  for (const group of groups) standing.set(key(visit, group), {});
  for (const { group, live } of rows) standing.set(key(visit, group), live);
  return rows;
}

/** Read what the first tap needs, so that it need not wait for that. */
export async function readyToAppend(): Promise<void> {
  await inTurn(readHead);
}

function ownFrom(device: string, seq: number): IDBKeyRange {
  return IDBKeyRange.bound([device, seq], [device, Number.MAX_SAFE_INTEGER]);
}

/** From the first entry on it is known up to where the rows follow the log: an older app left no mark. */
async function beginMark(device: string): Promise<void> {
  const known = await withDatabase((database) => database.get("meta", "settled"));
  if (known !== undefined) return;
  await transact(["meta", "events"], async (tx) => {
    const meta = tx.objectStore("meta");
    if ((await meta.get("settled")) !== undefined) return;
    const top = await tx.objectStore("events").openKeyCursor(ownFrom(device, 0), "prev");
    quietly(meta.put(top?.key[1] ?? 0, "settled"));
  });
}

/** Own entries that the rows do not have yet: the last tap's, or none. */
async function unsettled(
  device: string,
  meta: { get(name: string): Promise<unknown> },
  events: { getAll(range: IDBKeyRange): Promise<LogEvent[]> },
): Promise<LogEvent[]> {
  const settled = await meta.get("settled");
  // an older app wrote log and rows together
  return typeof settled === "number" ? events.getAll(ownFrom(device, settled + 1)) : [];
}

/**
 * Put an own event into its row. False where stamps stand that its writer had not seen: what
 * comes of that is for the judge to say.
 */
function standIn(row: GroupRow, { device, put, value, at, over }: LogEvent): boolean {
  const live = [...(row.live[put] ?? [])].sort();
  // it is there already, or one that followed it
  if (live.some((stamp) => stamp >= at && stamp.endsWith(device))) return true;
  const asSeen = String(live) === String(over);
  row.live[put] = [at];
  row.cells[put] = { value, at, others: [] };
  return asSeen;
}

function rowFor(rows: Map<string, GroupRow>, { visit, put }: LogEvent): GroupRow {
  const group = groupOf(put);
  const row = rows.get(key(visit, group)) ?? { visit, group, cells: {}, live: {} };
  rows.set(key(visit, group), row);
  return row;
}

function timeFor(rows: Map<string, VisitRow>, { visit, at }: LogEvent): void {
  const time = stampTime(at);
  const { first, last } = rows.get(visit) ?? { first: time, last: time };
  rows.set(visit, { visit, first: Math.min(first, time), last: Math.max(last, time) });
}

/** Rows of a visit as the log has them. */
async function rowsIn(visit: string, range: IDBKeyRange): Promise<GroupRow[]> {
  const device = await deviceId();
  return withDatabase(async (database) => {
    const tx = database.transaction(["groups", "events", "meta"]);
    const [kept, late] = await Promise.all([
      tx.objectStore("groups").getAll(range),
      unsettled(device, tx.objectStore("meta"), tx.objectStore("events")),
    ]);
    const rows = new Map(kept.map((row) => [key(visit, row.group), row]));
    for (const event of late) {
      if (event.visit === visit && range.includes([visit, groupOf(event.put)])) {
        standIn(rowFor(rows, event), event);
      }
    }
    return [...rows.values()];
  });
}

/**
 * Let the rows follow the log. Not waited for by a tap, and made anew from the log if it is lost:
 * so its place on the disk is the browser's own time.
 */
export async function settle(): Promise<void> {
  clearTimeout(settling);
  const device = await deviceId();
  const stores = ["events", "groups", "visits", "dirty", "meta"] as const;
  await transact(
    [...stores],
    async (tx) => {
      const takeBack = () => tx.abort();
      underWay.add(takeBack);
      quietly(tx.done.finally(() => underWay.delete(takeBack)));
      const late = await unsettled(device, tx.objectStore("meta"), tx.objectStore("events"));
      const last = late[late.length - 1];
      if (last === undefined) return;
      const rows = new Map<string, GroupRow>();
      const times = new Map<string, VisitRow>();
      for (const visit of new Set(late.map((event) => event.visit))) {
        const time = await tx.objectStore("visits").get(visit);
        if (time !== undefined) times.set(visit, time);
        const here = late.filter((event) => event.visit === visit);
        for (const group of new Set(here.map(({ put }) => groupOf(put)))) {
          const row = await tx.objectStore("groups").get([visit, group]);
          if (row !== undefined) rows.set(key(visit, group), row);
        }
      }
      const torn = new Set<string>();
      for (const event of late) {
        const { visit, put } = event;
        const group = groupOf(put);
        timeFor(times, event);
        if (torn.has(key(visit, group)) || standIn(rowFor(rows, event), event)) continue;
        torn.add(key(visit, group));
        quietly(tx.objectStore("dirty").put({ visit, group, token: newId() }));
      }
      for (const [name, row] of rows) {
        if (!torn.has(name)) quietly(tx.objectStore("groups").put(row));
      }
      for (const row of times.values()) quietly(tx.objectStore("visits").put(row));
      quietly(tx.objectStore("meta").put(last.seq, "settled"));
    },
    "relaxed",
  );
}

/**
 * The page is put aside. WebKit keeps a page that was left in the middle of a transaction, and the
 * transaction with it: whoever comes next waits for its stores for ever (seen in WebKitGTK). What
 * settles can be taken back at no loss.
 */
export function stopSettling(): void {
  clearTimeout(settling);
  for (const takeBack of [...underWay]) {
    try {
      takeBack();
    } catch {
      // it had already ended
    }
  }
}

function settleSoon(): void {
  clearTimeout(settling);
  // where it fails, the next reader or the next start finds the same entries to settle
  settling = setTimeout(() => void settle().catch(() => undefined), SETTLE_MS);
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

async function write(events: LogEvent[]): Promise<void> {
  await transact(["events"], (tx) => {
    for (const event of events) quietly(tx.objectStore("events").add(event));
    // nothing more comes: the answers need not be waited for
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
        if (seqWasTaken(problem) && attempt < 5) continue;
        throw problem;
      }
      head = next;
      for (const { visit, put, at } of events) {
        const live = standing.get(key(visit, groupOf(put)));
        if (live !== undefined) live[put] = [at];
      }
      settleSoon();
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
    const times = new Map<string, VisitRow>();
    let seen = ((await meta.get("seen")) as string | undefined) ?? "";
    for (const event of events) {
      quietly(tx.objectStore("events").put(event));
      const group = groupOf(event.put);
      groups.set(key(event.visit, group), { visit: event.visit, group, token: newId() });
      if (event.at > seen) seen = event.at;
      timeFor(times, event);
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

/** Where the events of one group of a visit lie in the index by path. */
function pathsOf(visit: string, group: string): [IDBKeyRange, IDBKeyRange] {
  return [
    IDBKeyRange.only([visit, group]),
    IDBKeyRange.bound([visit, `${group}/`], [visit, `${group}/\uffff`]),
  ];
}

/** All events of one group of a visit. */
export async function eventsOfGroup(visit: string, group: string): Promise<LogEvent[]> {
  return withDatabase(async (database) => {
    const index = database.transaction("events").store.index("by_path");
    const [exact, below] = pathsOf(visit, group);
    return [...(await index.getAll(exact)), ...(await index.getAll(below))];
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

/** Groups of a visit that wait for the judge; what is still to settle may add to them. */
async function dirtyIn(visit: string): Promise<{ group: string; token: string }[]> {
  const device = await deviceId();
  const range = IDBKeyRange.bound([visit, ""], [visit, "\uffff"]);
  const [rows, late] = await withDatabase((database) => {
    const tx = database.transaction(["dirty", "events", "meta"]);
    return Promise.all([
      tx.objectStore("dirty").getAll(range),
      unsettled(device, tx.objectStore("meta"), tx.objectStore("events")),
    ]);
  });
  if (late.length === 0) return rows;
  await settle();
  return withDatabase((database) => database.getAll("dirty", range));
}

/**
 * Fold the groups of a visit that other devices wrote to. `fold` asks the judge. A group that
 * was written to meanwhile stays dirty.
 */
export async function foldDirty(
  visit: string,
  fold: (events: LogEvent[]) => Promise<Cells>,
): Promise<number> {
  const rows = await dirtyIn(visit);
  for (const { group, token } of rows) {
    // in turn with appends: the events read here are all that this tab writes until the row is
    await inTurn(async () => {
      const events = await eventsOfGroup(visit, group);
      const cells = await fold(events);
      const row = { visit, group, cells, live: liveStamps(events) };
      await transact(["events", "groups", "dirty"], async (tx) => {
        const index = tx.objectStore("events").index("by_path");
        const [mark, ...counts] = await Promise.all([
          tx.objectStore("dirty").get([visit, group]),
          ...pathsOf(visit, group).map((paths) => index.count(paths)),
        ]);
        // another tab has written
        if (mark?.token !== token || counts.reduce((a, b) => a + b) !== events.length) return;
        quietly(tx.objectStore("groups").put(row));
        quietly(tx.objectStore("dirty").delete([visit, group]));
        standing.set(key(visit, group), row.live);
      });
    });
  }
  return rows.length;
}

/** The folded record of a visit as it stands on this phone. */
export async function cellsOf(visit: string): Promise<Cells> {
  const rows = await remember(visit, IDBKeyRange.bound([visit, ""], [visit, "\uffff"]), []);
  whole.add(visit);
  return Object.assign({}, ...rows.map((row) => row.cells)) as Cells;
}

/** Every visit on this phone, the latest first. */
export async function visitsHere(): Promise<VisitRow[]> {
  const device = await deviceId();
  const rows = await withDatabase(async (database) => {
    const tx = database.transaction(["visits", "events", "meta"]);
    const [kept, late] = await Promise.all([
      tx.objectStore("visits").getAll(),
      unsettled(device, tx.objectStore("meta"), tx.objectStore("events")),
    ]);
    const times = new Map(kept.map((row) => [row.visit, row]));
    for (const event of late) timeFor(times, event);
    return [...times.values()];
  });
  return rows.sort((a, b) => b.last - a.last);
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
