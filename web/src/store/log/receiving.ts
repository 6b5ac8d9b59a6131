/** Taking in what other devices wrote, and what this one wrote before it lost it. */

import { type Batch, type LogEvent, type Orders, SHOP, visitsOf } from "../../shared/event";
import { message, Told } from "../../shared/said";
import { quietly } from "../database";
import { newId } from "../encoding";
import { NOTHING_ANSWERED, type SyncMark } from "../facts";
import { ofDevice, type Writing } from "../schema";
import { firstGap } from "./chains";
import { laterBelieved } from "./clock";
import { BatchRefused, type CheckedBatch, idOf, readBatch } from "./events";
import type { Log } from "./log";
import { markForFolding } from "./rows";

/** What the server holds of a device is another past than what this phone holds of it. */
export class CopiesPart extends Told {
  override name = "CopiesPart";
  constructor(
    readonly device: string,
    /** Up to here the two are the same. */
    readonly seq: number,
  ) {
    super(message("phone-error-copies-part"));
  }
}

/** What came of a batch: how many of its events are new, and which visits they are of. */
export interface Received {
  count: number;
  visits: string[];
}

/**
 * Take in a batch: its fields, commitments, chain, key and signature are checked, and nothing is
 * kept of one that does not hold. Raises BatchRefused, CopiesPart.
 */
export async function receive(
  log: Log,
  batch: Batch,
  wall: () => number = Date.now,
): Promise<Received> {
  const checked = await readBatch(batch);
  return log.queue.run(async () => {
    const own = await log.identity.get();
    const isOwn = checked.device === own.device;
    // what is not yet in the rows would be passed over by the mark that the own events move
    if (isOwn) await log.rows.settle();
    const fresh = await newIn(log, checked, isOwn);
    if (fresh.length === 0) return { count: 0, visits: [] };
    const bestKnown_ms = await log.facts.bestKnown(wall());
    await log.store.transact(
      ["events", "chains", "signatures", "dirty", "visits", "meta"],
      async (tx) => {
        const events = tx.objectStore("events");
        const { device, seq } = fresh[0] as LogEvent;
        // another tab may have written on under these numbers since they were looked at
        if (isOwn) {
          requireSame(await events.getAll(ofDevice(device, seq, seq + fresh.length - 1)), fresh);
        }
        await keep(tx, checked, fresh, bestKnown_ms);
        if (isOwn) await countAsSent(tx, checked);
        else await extend(tx, checked, fresh);
      },
    );
    if (isOwn) {
      log.forget();
      log.sentUpTo(own.device, (fresh[fresh.length - 1] as LogEvent).seq);
    } else {
      log.believe(
        fresh.map(({ at }) => at),
        bestKnown_ms,
      );
    }
    return { count: fresh.length, visits: visitsOf(fresh) };
  });
}

/** The events of a batch that continue what is held. Raises BatchRefused, CopiesPart. */
async function newIn(log: Log, checked: CheckedBatch, isOwn: boolean): Promise<LogEvent[]> {
  const { device, events } = checked;
  const top = await topOf(log, device, isOwn);
  const first = (events[0] as LogEvent).seq;
  if (first > top + 1) {
    throw new BatchRefused(message("phone-error-batch-gap", { from: first, held: top }));
  }
  const fresh = events.slice(top + 1 - first);
  if (fresh.length === 0) return [];
  if ((fresh[0] as LogEvent).prev !== (await log.chains.hashAt(device, top))) {
    throw new CopiesPart(device, Math.min(top, first - 1));
  }
  // beyond a hole there are events already
  requireSame(await log.chains.events(device, top + 1, fresh.length), fresh);
  return fresh;
}

/** What is held under the numbers of `fresh` must be the same. Raises CopiesPart. */
function requireSame(there: LogEvent[], fresh: LogEvent[]): void {
  const { device, seq } = fresh[0] as LogEvent;
  for (const event of there) {
    const came = fresh[event.seq - seq];
    if (came !== undefined && (idOf(came) !== idOf(event) || came.prev !== event.prev)) {
      throw new CopiesPart(device, seq - 1);
    }
  }
}

/** Up to which seq a device is held without gaps. */
async function topOf(log: Log, device: string, isOwn: boolean): Promise<number> {
  if (!isOwn) {
    const row = await log.chains.row(device);
    return row?.hole === undefined ? (row?.seq ?? 0) : row.hole - 1;
  }
  const top = await log.chains.top(device);
  const hole = await log.chains.firstMissing(device, top);
  return hole === null ? top : hole - 1;
}

async function keep(
  tx: Writing,
  checked: CheckedBatch,
  fresh: LogEvent[],
  bestKnown_ms: number,
): Promise<void> {
  const meta = tx.objectStore("meta");
  const erase = ((await meta.get("orders")) as Orders | undefined)?.erase ?? [];
  const erased = new Set(
    erase.map(({ device, seq, put, commit }) => `${device} ${seq} ${put} ${commit}`),
  );
  let seen = ((await meta.get("seen")) as string | undefined) ?? "";
  for (const event of fresh) {
    const { device, seq, put, commit, value, salt, ...rest } = event;
    const isErased = erased.has(`${device} ${seq} ${put} ${commit}`);
    quietly(tx.objectStore("events").put(isErased ? { device, seq, put, commit, ...rest } : event));
    seen = laterBelieved(seen, event.at, bestKnown_ms);
  }
  const { device, signature } = checked;
  const [first, last] = [fresh[0] as LogEvent, fresh[fresh.length - 1] as LogEvent];
  // what was signed of entries that were lost may be another life's
  quietly(tx.objectStore("signatures").delete(ofDevice(device, first.seq, last.seq)));
  quietly(tx.objectStore("signatures").put({ device, seq: last.seq, signature }));
  await markForFolding(tx, fresh);
  quietly(meta.put(seen, "seen"));
  if (fresh.some(({ scope }) => scope === SHOP)) quietly(meta.put(newId(), "ordersDue"));
}

/** Own events that came back from the server are on the server; and no row is stood in for. */
async function countAsSent(tx: Writing, { device, events }: CheckedBatch): Promise<void> {
  const meta = tx.objectStore("meta");
  const before = ((await meta.get("sync")) as SyncMark | undefined) ?? NOTHING_ANSWERED;
  const last = (events[events.length - 1] as LogEvent).seq;
  const top = (await tx.objectStore("events").openKeyCursor(ofDevice(device), "prev"))?.key[1];
  quietly(meta.put({ device, seq: top ?? last }, "settled"));
  if (before.acknowledged < last) quietly(meta.put({ ...before, acknowledged: last }, "sync"));
}

/** Note how far the chain now goes, and whether a hole in it remains. */
async function extend(tx: Writing, checked: CheckedBatch, fresh: LogEvent[]): Promise<void> {
  const { device, key, head } = checked;
  const last = (fresh[fresh.length - 1] as LogEvent).seq;
  const before = await tx.objectStore("chains").get(device);
  if (before === undefined || before.seq <= last) {
    quietly(tx.objectStore("chains").put({ device, key, seq: last, head }));
    return;
  }
  const keys = await tx.objectStore("events").getAllKeys(ofDevice(device));
  const hole = firstGap(keys.map(([, seq]) => seq));
  const row = { device, key: before.key, seq: before.seq, head: before.head };
  quietly(tx.objectStore("chains").put(hole > before.seq ? row : { ...row, hole }));
}
