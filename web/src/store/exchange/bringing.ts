/** Sending events in batches that fit and that a signature ends. */

import type { Batch, LogEvent } from "../../shared/event";
import { batchOf } from "../log/chains";
import type { Log } from "../log/log";

const BATCH_BYTES = 7_000_000;
/** As many as the server takes at once (server/bradawl/log/batches.py). */
const EVENTS_A_BATCH = 2_000;

/** As many of these events, from the first on, as fit in a batch. */
export function fitting(events: LogEvent[]): LogEvent[] {
  let size_bytes = 0;
  for (const [index, event] of events.entries()) {
    size_bytes += JSON.stringify(event).length;
    if (size_bytes > BATCH_BYTES && index > 0) return events.slice(0, index);
  }
  return events;
}

/** The last of these events without a gap before `seq`, unless they fit in no batch. */
function endingAt(events: LogEvent[], seq: number): LogEvent[] {
  let first = events.length;
  while (first > 0 && events[first - 1]?.seq === seq - (events.length - first)) first -= 1;
  const run = events.slice(first);
  return fitting(run).length === run.length ? run : [];
}

/**
 * Another device's events after a seq, in as few batches as its own signatures allow; whether all
 * of them could go. What no signature ends stays here.
 */
export async function sendSigned(
  { chains }: Log,
  device: string,
  after: number,
  send: (batch: Batch) => Promise<unknown>,
): Promise<boolean> {
  const row = await chains.row(device);
  if (row === undefined) return false;
  const signatures = await chains.signatures(device, after);
  let from = after + 1;
  let isAll = true;
  for (const [index, { seq, signature }] of signatures.entries()) {
    const next = signatures[index + 1]?.seq;
    if (next !== undefined && next - from < EVENTS_A_BATCH) {
      if ((await chains.firstMissingFrom(device, from, next)) === null) continue;
    }
    const there = await chains.events(device, from, seq - from + 1);
    const within = there.filter((event) => event.seq <= seq);
    const events = endingAt(within, seq);
    isAll &&= events.length === within.length;
    if (events.length > 0) await send(await batchOf(row.key, events, signature));
    from = seq + 1;
  }
  return isAll && from > (await chains.top(device));
}
