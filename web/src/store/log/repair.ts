/** What is wrong with what this phone holds, and dropping what is to be fetched anew. */

import { visitsOf } from "../../shared/event";
import { quietly } from "../database";
import { ofDevice } from "../schema";
import type { Log } from "./log";
import { markForFolding } from "./rows";

/** Look once for events that are missing within what this phone holds of others; how many chains. */
export async function findHoles(log: Log): Promise<number> {
  let count = 0;
  for (const row of await log.chains.rows()) {
    const missing = await log.chains.firstMissing(row.device, row.seq);
    if (missing === null && row.hole === undefined) continue;
    const { device, key } = row;
    const seq = Math.min(row.seq, await log.chains.top(device));
    const head = (seq === row.seq ? row.head : await log.chains.hashAt(device, seq)) ?? "";
    const mended = { device, key, seq, head };
    const isWithin = missing !== null && missing <= seq;
    await log.store.transact(["chains"], (tx) => {
      quietly(
        seq === 0
          ? tx.objectStore("chains").delete(device)
          : tx.objectStore("chains").put(isWithin ? { ...mended, hole: missing } : mended),
      );
    });
    count += 1;
  }
  return count;
}

/** Forget a device's events after a seq: the server keeps them aside, and sends its own instead. */
export async function drop(log: Log, device: string, after: number): Promise<string[]> {
  return log.queue.run(async () => {
    await log.rows.settle();
    const late = await log.chains.events(device, after + 1);
    const row = await log.chains.row(device);
    const head = await log.chains.hashAt(device, after);
    await log.store.transact(["events", "chains", "signatures", "dirty", "visits"], async (tx) => {
      quietly(tx.objectStore("events").delete(ofDevice(device, after + 1)));
      quietly(tx.objectStore("signatures").delete(ofDevice(device, after + 1)));
      if (after === 0 || head === null || row === undefined) {
        quietly(tx.objectStore("chains").delete(device));
      } else {
        quietly(tx.objectStore("chains").put({ device, key: row.key, seq: after, head }));
      }
      await markForFolding(tx, late);
    });
    log.forget();
    return visitsOf(late);
  });
}

/**
 * Entries beyond what was signed, on chains that are not this phone's own: a tab wrote them that had
 * not heard of the new chain, or the storage lost who this phone was.
 */
export async function orphans(log: Log): Promise<{ device: string; after: number }[]> {
  const own = await log.identity.get();
  const tops = await log.chains.tops();
  const rows = new Map((await log.chains.rows()).map((row) => [row.device, row.seq]));
  const unsigned: { device: string; after: number }[] = [];
  for (const [device, top] of Object.entries(tops)) {
    if (device === own.device) continue;
    const signed = rows.get(device) ?? (await log.chains.signatures(device, 0)).at(-1)?.seq ?? 0;
    if (top > signed) unsigned.push({ device, after: signed });
  }
  return unsigned;
}
