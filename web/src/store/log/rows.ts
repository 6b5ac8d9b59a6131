/**
 * Cells, ids that stand and the list of visits, as rows that follow the log.
 *
 * An own event names in `over` every event that its writer saw standing at its path, so its cell
 * afterwards is as a rule its own value and nothing beside it: that much needs no judge. The rows
 * follow the log a moment later (`settle`), and it is noted up to which own seq they do; whoever
 * reads them reads the few entries after that as well, so that a tab killed in between loses
 * nothing. Where events stand that the writer had not seen, the group is marked as dirty, and the
 * judge folds it.
 */

import {
  type Cells,
  groupOf,
  inspection,
  type Live,
  type LogEvent,
  type Orders,
  type Put,
  visitOf,
} from "../../shared/event";
import type { Ask } from "../../shared/judge-messages";
import { quietly, type Store } from "../database";
import { newId } from "../encoding";
import type { FactsKept } from "../facts";
import { type GroupRow, ofDevice, ofScope, type VisitRow, type Writing } from "../schema";
import type { SerialQueue } from "../serial-queue";
import { stampTime } from "./clock";
import { idOf, judged, shownValue } from "./events";

/** The thumb comes first: the rows follow when the card is drawn. */
const SETTLE_MS = 100;
/** Of an event's id: the stamp, and the device within it. */
const STAMP_LETTERS = 54;
const DEVICE_FROM = 22;

type Settled = FactsKept["settled"];

interface Reading {
  meta: { get(name: string): Promise<unknown> };
  events: { getAll(range: IDBKeyRange): Promise<LogEvent[]> };
}

/** What of the log the rows do not have yet: the last tap's entries, or none. And the orders. */
async function unsettled({
  meta,
  events,
}: Reading): Promise<[orders: Orders | undefined, late: LogEvent[]]> {
  const settled = (await meta.get("settled")) as Settled | undefined;
  if (settled === undefined) return [undefined, []];
  const late = await events.getAll(ofDevice(settled.device, settled.seq + 1));
  if (late.length === 0) return [undefined, []];
  return [(await meta.get("orders")) as Orders | undefined, late];
}

function key(scope: string, group: string): string {
  return `${scope} ${group}`;
}

/** Whether the shop's orders pass over an event, or rank it anew. */
function isOrdered(orders: Orders | undefined, { device, seq }: LogEvent): boolean {
  const ranges = [...(orders?.clock[device] ?? []), ...(orders?.fence[device] ?? [])];
  return ranges.some(([from, to]) => from <= seq && (to === null || seq <= to));
}

/**
 * Put an own event into its row. False where events stand that its writer had not seen, or the shop
 * has ordered something of it: what comes of that is for the judge to say.
 */
function standIn(row: GroupRow, event: LogEvent, orders: Orders | undefined): boolean {
  const { device, put, at, over } = event;
  const live = [...(row.live[put] ?? [])].sort();
  // it is there already, or one that followed it
  const isOwn = (id: string) => id.slice(DEVICE_FROM, STAMP_LETTERS) === device;
  if (live.some((id) => isOwn(id) && id.slice(0, STAMP_LETTERS) >= at)) return true;
  const asSeen = String(live) === String(over);
  row.live[put] = [idOf(event)];
  row.cells[put] = { value: shownValue(event), at, others: [] };
  return asSeen && !isOrdered(orders, event);
}

function rowFor(rows: Map<string, GroupRow>, { scope, put }: LogEvent): GroupRow {
  const group = groupOf(put);
  const row = rows.get(key(scope, group)) ?? { scope, group, cells: {}, live: {} };
  rows.set(key(scope, group), row);
  return row;
}

function timeFor(rows: Map<string, VisitRow>, { scope, at }: LogEvent): void {
  const visit = visitOf(scope);
  if (visit === null) return;
  const time = stampTime(at);
  const { first, last } = rows.get(visit) ?? { first: time, last: time };
  rows.set(visit, { visit, first: Math.min(first, time), last: Math.max(last, time) });
}

/**
 * Note in a transaction that writes events which nobody may stand in for: their groups are to be
 * folded, their visits are listed. It needs the stores "dirty" and "visits".
 */
export async function markForFolding(tx: Writing, events: LogEvent[]): Promise<void> {
  const times = new Map<string, VisitRow>();
  const groups = new Map<string, [scope: string, group: string]>();
  for (const event of events) {
    if (visitOf(event.scope) === null) continue;
    const group = groupOf(event.put);
    groups.set(key(event.scope, group), [event.scope, group]);
    timeFor(times, event);
  }
  for (const [scope, group] of groups.values()) {
    quietly(tx.objectStore("dirty").put({ scope, group, token: newId() }));
  }
  const visits = tx.objectStore("visits");
  for (const [visit, { first, last }] of times) {
    const row = await visits.get(visit);
    const widened = {
      visit,
      first: Math.min(row?.first ?? first, first),
      last: Math.max(row?.last ?? last, last),
    };
    quietly(visits.put(widened));
  }
}

/** Where the events of one group lie in the index by path. */
function pathsOf(scope: string, group: string): [IDBKeyRange, IDBKeyRange] {
  return [
    IDBKeyRange.only([scope, group]),
    IDBKeyRange.bound([scope, `${group}/`], [scope, `${group}/\uffff`]),
  ];
}

export class Rows {
  /** Per group, ids of what stands at each path as this tab last read or wrote them. */
  private readonly standing = new Map<string, Live>();
  /** Scopes of which every group was read: one that is not there has nothing standing. */
  private readonly whole = new Set<string>();
  private settling: ReturnType<typeof setTimeout> | undefined;
  /** Takes back the settling under way. */
  private readonly underWay = new Set<() => void>();
  private tellWriter: (device: string) => void = () => undefined;

  constructor(
    private readonly store: Store,
    private readonly queue: SerialQueue,
  ) {}

  /** Called with the device that this phone writes as: another tab may have begun a new chain. */
  whenSettling(tell: (device: string) => void): void {
    this.tellWriter = tell;
  }

  /** Forget what is remembered of the rows. */
  forget(): void {
    this.standing.clear();
    this.whole.clear();
    clearTimeout(this.settling);
  }

  /** Know what stands in the groups that will be written to. */
  async readStanding(puts: Pick<Put, "scope" | "put">[]): Promise<void> {
    for (const { scope, put } of puts) {
      const group = groupOf(put);
      if (this.standing.has(key(scope, group))) continue;
      if (this.whole.has(scope)) this.standing.set(key(scope, group), {});
      else await this.remember(scope, IDBKeyRange.only([scope, group]), [group]);
    }
  }

  /** Ids of what stands at a path, sorted; `readStanding` must have been told of it. */
  standingAt(scope: string, put: string): string[] {
    return [...(this.standing.get(key(scope, groupOf(put)))?.[put] ?? [])].sort();
  }

  /** Own events were stored: they stand, and the rows follow soon. */
  follow(events: LogEvent[]): void {
    for (const event of events) {
      const live = this.standing.get(key(event.scope, groupOf(event.put)));
      if (live !== undefined) live[event.put] = [idOf(event)];
    }
    clearTimeout(this.settling);
    // where it fails, the next reader or the next start finds the same entries to settle
    this.settling = setTimeout(() => void this.settle().catch(() => undefined), SETTLE_MS);
  }

  /** Read rows, and know from now on what stands in them and in the groups that have none. */
  private async remember(scope: string, range: IDBKeyRange, groups: string[]): Promise<GroupRow[]> {
    const rows = await this.rowsIn(scope, range);
    for (const group of groups) this.standing.set(key(scope, group), {});
    for (const { group, live } of rows) this.standing.set(key(scope, group), live);
    return rows;
  }

  /** Rows of a scope as the log has them. */
  private rowsIn(scope: string, range: IDBKeyRange): Promise<GroupRow[]> {
    return this.store.run(async (database) => {
      const tx = database.transaction(["groups", "events", "meta"]);
      const meta = tx.objectStore("meta");
      const [kept, [orders, late]] = await Promise.all([
        tx.objectStore("groups").getAll(range),
        unsettled({ meta, events: tx.objectStore("events") }),
      ]);
      const rows = new Map(kept.map((row) => [key(scope, row.group), row]));
      for (const event of late) {
        if (event.scope === scope && range.includes([scope, groupOf(event.put)])) {
          standIn(rowFor(rows, event), event, orders);
        }
      }
      return [...rows.values()];
    });
  }

  /**
   * Let the rows follow the log. Not waited for by a tap, and made anew from the log if it is lost:
   * so its place on the disk is the browser's own time.
   */
  async settle(): Promise<void> {
    clearTimeout(this.settling);
    const stores = ["events", "groups", "visits", "dirty", "meta"] as const;
    await this.store.transact(
      [...stores],
      async (tx) => {
        const takeBack = () => tx.abort();
        this.underWay.add(takeBack);
        quietly(tx.done.finally(() => this.underWay.delete(takeBack)));
        await this.settleWithin(tx);
      },
      "relaxed",
    );
  }

  private async settleWithin(tx: Writing): Promise<void> {
    const meta = tx.objectStore("meta");
    if (this.store.isOtherStorage(await meta.get("marker"))) return;
    const settled = (await meta.get("settled")) as Settled | undefined;
    if (settled === undefined) return;
    this.tellWriter(settled.device);
    const [orders, late] = await unsettled({ meta, events: tx.objectStore("events") });
    const last = late[late.length - 1];
    if (last === undefined) return;
    const rows = new Map<string, GroupRow>();
    const times = new Map<string, VisitRow>();
    const inVisits = late.filter(({ scope }) => visitOf(scope) !== null);
    for (const scope of new Set(inVisits.map((event) => event.scope))) {
      const time = await tx.objectStore("visits").get(visitOf(scope) as string);
      if (time !== undefined) times.set(time.visit, time);
      const here = inVisits.filter((event) => event.scope === scope);
      for (const group of new Set(here.map(({ put }) => groupOf(put)))) {
        const row = await tx.objectStore("groups").get([scope, group]);
        if (row !== undefined) rows.set(key(scope, group), row);
      }
    }
    const torn = new Set<string>();
    for (const event of inVisits) {
      const { scope, put } = event;
      const group = groupOf(put);
      timeFor(times, event);
      if (torn.has(key(scope, group)) || standIn(rowFor(rows, event), event, orders)) continue;
      torn.add(key(scope, group));
      quietly(tx.objectStore("dirty").put({ scope, group, token: newId() }));
    }
    for (const [name, row] of rows) {
      if (!torn.has(name)) quietly(tx.objectStore("groups").put(row));
    }
    for (const row of times.values()) quietly(tx.objectStore("visits").put(row));
    quietly(meta.put({ device: settled.device, seq: last.seq }, "settled"));
  }

  /**
   * The page is put aside. WebKit keeps a page that was left in the middle of a transaction, and the
   * transaction with it: whoever comes next waits for its stores for ever (seen in WebKitGTK). What
   * settles can be taken back at no loss.
   */
  stopSettling(): void {
    clearTimeout(this.settling);
    for (const takeBack of [...this.underWay]) {
      try {
        takeBack();
      } catch {
        // it had already ended
      }
    }
  }

  /** Groups of a visit that wait for the judge; what is still to settle may add to them. */
  private async dirtyIn(scope: string): Promise<{ group: string; token: string }[]> {
    const range = ofScope(scope);
    const [rows, [, late]] = await this.store.run((database) => {
      const tx = database.transaction(["dirty", "events", "meta"]);
      return Promise.all([
        tx.objectStore("dirty").getAll(range),
        unsettled({ meta: tx.objectStore("meta"), events: tx.objectStore("events") }),
      ]);
    });
    if (late.length === 0) return rows;
    await this.settle();
    return this.store.run((database) => database.getAll("dirty", range));
  }

  /**
   * Fold the groups of a visit that other devices wrote to, or the shop gave orders about; how many.
   * A group that was written to meanwhile stays dirty.
   */
  async foldDirty(visit: string, ask: Ask): Promise<number> {
    const scope = inspection(visit);
    const rows = await this.dirtyIn(scope);
    for (const { group, token } of rows) {
      // in turn with appends: the events read here are all that this tab writes until the row is
      await this.queue.run(() => this.foldGroup(scope, group, token, ask));
    }
    return rows.length;
  }

  private async foldGroup(scope: string, group: string, token: string, ask: Ask): Promise<void> {
    const { events, orders } = await this.store.run(async (database) => {
      const tx = database.transaction(["events", "meta"]);
      const index = tx.objectStore("events").index("by_path");
      const [exact, below] = pathsOf(scope, group);
      const there = [...(await index.getAll(exact)), ...(await index.getAll(below))];
      const ordered = (await tx.objectStore("meta").get("orders")) as Orders | undefined;
      return { events: there, orders: ordered };
    });
    const question = { ask: "fold", events: events.map(judged) } as const;
    const { cells, live } = await ask(
      orders === undefined ? question : { ...question, orders: ordersAbout(orders, events) },
    );
    await this.store.transact(["events", "groups", "dirty"], async (tx) => {
      const index = tx.objectStore("events").index("by_path");
      let count = 0;
      for (const paths of pathsOf(scope, group)) count += await index.count(paths);
      const mark = await tx.objectStore("dirty").get([scope, group]);
      // another tab has written
      if (mark?.token !== token || count !== events.length) return;
      quietly(tx.objectStore("groups").put({ scope, group, cells, live }));
      quietly(tx.objectStore("dirty").delete([scope, group]));
      this.standing.set(key(scope, group), live);
    });
  }

  /** The folded record of a visit as it stands on this phone. */
  async cellsOf(visit: string): Promise<Cells> {
    const scope = inspection(visit);
    const rows = await this.remember(scope, ofScope(scope), []);
    this.whole.add(scope);
    return Object.assign({}, ...rows.map((row) => row.cells)) as Cells;
  }

  /** Every visit on this phone, the latest first. */
  async visitsHere(): Promise<VisitRow[]> {
    const rows = await this.store.run(async (database) => {
      const tx = database.transaction(["visits", "events", "meta"]);
      const [kept, [, late]] = await Promise.all([
        tx.objectStore("visits").getAll(),
        unsettled({ meta: tx.objectStore("meta"), events: tx.objectStore("events") }),
      ]);
      const times = new Map(kept.map((row) => [row.visit, row]));
      for (const event of late) timeFor(times, event);
      return [...times.values()];
    });
    return rows.sort((a, b) => b.last - a.last);
  }
}

/** What of the orders is about these events: a call of the judge carries no more than it needs. */
function ordersAbout(orders: Orders, events: LogEvent[]): Orders {
  const devices = new Set(events.map(({ device }) => device));
  const of = <T>(all: Record<string, T>) =>
    Object.fromEntries(Object.entries(all).filter(([device]) => devices.has(device)));
  return { clock: of(orders.clock), fence: of(orders.fence), erase: [] };
}
