/** Sending events in batches that fit and that a signature ends. */

import type { Batch, LogEvent } from "../../shared/event";
import { BATCH_BYTES, batchOf, EVENTS_A_BATCH, sizeOf } from "../log/chains";
import type { Log } from "../log/log";

/** Consecutive events, with its device's signature over the last. */
interface Proved {
  events: LogEvent[];
  signature: string;
  size_bytes: number;
}

/** The last of these events without a gap before `seq`. */
function endingAt(events: LogEvent[], seq: number): LogEvent[] {
  let first = events.length;
  while (first > 0 && events[first - 1]?.seq === seq - (events.length - first)) first -= 1;
  return events.slice(first);
}

/** Two such parts as one, if the second goes on from the first and both fit in one batch. */
function joined(first: Proved, second: Proved): Proved | null {
  const seq = (first.events.at(-1) as LogEvent).seq;
  const count = first.events.length + second.events.length;
  const size_bytes = first.size_bytes + second.size_bytes;
  if (second.events[0]?.seq !== seq + 1) return null;
  if (count > EVENTS_A_BATCH || size_bytes > BATCH_BYTES) return null;
  const events = first.events.concat(second.events);
  return { events, signature: second.signature, size_bytes };
}

/**
 * Another device's events after one seq and up to another, in as few batches as its own signatures
 * allow. Resolves with the seqs of those that could not go: no signature ends them.
 */
export async function sendSigned(
  { chains }: Log,
  device: string,
  { after, upTo }: { after: number; upTo: number },
  send: (batch: Batch) => Promise<unknown>,
): Promise<number[]> {
  const row = await chains.row(device);
  if (row === undefined) return [];
  const unsigned: number[] = [];
  let waiting: Proved | null = null;
  const go = async () => {
    if (waiting !== null) await send(await batchOf(row.key, waiting.events, waiting.signature));
  };
  let from = after + 1;
  for (const { seq, signature } of await chains.signatures(device, after)) {
    if (seq > upTo) break;
    const there = (await chains.events(device, from, seq - from + 1)).filter(
      (event) => event.seq <= seq,
    );
    const events = endingAt(there, seq);
    unsigned.push(...there.slice(0, there.length - events.length).map((event) => event.seq));
    from = seq + 1;
    if (events.length === 0) continue;
    const next = { events, signature, size_bytes: sizeOf(events) };
    const both: Proved | null = waiting === null ? null : joined(waiting, next);
    if (both === null) await go();
    waiting = both ?? next;
  }
  await go();
  const rest = await chains.events(device, from);
  unsigned.push(...rest.map(({ seq }) => seq).filter((seq) => seq <= upTo));
  return unsigned;
}
