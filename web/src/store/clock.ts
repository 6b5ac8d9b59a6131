/**
 * Hybrid logical clock: `{ms:015d}-{counter:05d}-{device}`, fixed width, sorts as text.
 *
 * A new stamp is greater than every stamp this device has seen, whatever the wall clock does:
 * a clock set back an hour goes on counting from where it was.
 */

const COUNTER_LIMIT = 99_999;

function parts(stamp: string): [ms: number, counter: number] {
  return [Number(stamp.slice(0, 15)), Number(stamp.slice(16, 21))];
}

function write(ms: number, counter: number, device: string): string {
  return `${String(ms).padStart(15, "0")}-${String(counter).padStart(5, "0")}-${device}`;
}

/** The next stamp after `seen` ("" when nothing was seen). `wall` is in ms since 1970. */
export function nextStamp(seen: string, wall: number, device: string): string {
  const now = Math.max(0, Math.floor(wall));
  if (seen === "") return write(now, 0, device);
  const [ms, counter] = parts(seen);
  if (now > ms) return write(now, 0, device);
  if (counter >= COUNTER_LIMIT) return write(ms + 1, 0, device);
  return write(ms, counter + 1, device);
}

/** Milliseconds since 1970 of a stamp. */
export function stampTime(stamp: string): number {
  return parts(stamp)[0];
}
