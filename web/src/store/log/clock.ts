/**
 * Hybrid logical clock: `{ms:015d}-{counter:05d}-{device}`, fixed width, sorts as text.
 *
 * A new stamp is greater than every stamp this device has believed, whatever the wall clock does: a
 * clock set back an hour goes on counting from where it was. A stamp far ahead is not believed: one
 * device with a wrong clock would otherwise set those of all others.
 */

const COUNTER_LIMIT = 99_999;
/** What fits into a stamp; a clock beyond it (the year 30000) counts on from there. */
const LATEST_MS = 899_999_999_999_999;
/** A stamp further ahead of the best-known time than this raises no clock. */
export const AHEAD_MS = 24 * 3_600_000;

/** Up to when a stamp's milliseconds and counter go; its device follows a dash. */
const TIME_LETTERS = 21;

function parts(stamp: string): [ms: number, counter: number] {
  return [Number(stamp.slice(0, 15)), Number(stamp.slice(16, TIME_LETTERS))];
}

function write(ms: number, counter: number, device: string): string {
  return `${String(ms).padStart(15, "0")}-${String(counter).padStart(5, "0")}-${device}`;
}

/** The next stamp after `seen` ("" when nothing was seen). `wall_ms` is in ms since 1970. */
export function nextStamp(seen: string, wall_ms: number, device: string): string {
  const now = Math.min(Math.max(0, Math.floor(wall_ms)), LATEST_MS);
  if (seen === "") return write(now, 0, device);
  const [ms, counter] = parts(seen);
  if (now > ms) return write(now, 0, device);
  if (counter >= COUNTER_LIMIT) return write(ms + 1, 0, device);
  return write(ms, counter + 1, device);
}

/** A stamp as another device would have made it at the same time; later than `latest` in any case. */
export function restamped(stamp: string, latest: string, device: string): string {
  const same = `${stamp.slice(0, TIME_LETTERS)}-${device}`;
  return same > latest ? same : nextStamp(latest, stampTime(stamp), device);
}

/** The last stamp before `stamp`, for what must come before it in a chain. */
export function justBefore(stamp: string, device: string): string {
  return write(Math.max(0, stampTime(stamp) - 1), 0, device);
}

/** Milliseconds since 1970 of a stamp. */
export function stampTime(stamp: string): number {
  return parts(stamp)[0];
}

/** The later of two stamps, unless that lies far ahead of the best-known time. */
export function laterBelieved(seen: string, stamp: string, bestKnown_ms: number): string {
  return stamp > seen && stampTime(stamp) <= bestKnown_ms + AHEAD_MS ? stamp : seen;
}
