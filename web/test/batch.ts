/** What another phone wrote, as it arrives here. */

import type { LogEvent } from "../src/shared/event";
import { hashOfEvent } from "../src/store/chain";
import { visit } from "./store";

export const device2 = "d2".repeat(16);

/** A batch as the server passes on what another device wrote. */
export async function batchOf(values: [put: string, value: string, over?: string[]][]) {
  let prev = "";
  const events: LogEvent[] = [];
  for (const [index, [put, value, over = []]] of values.entries()) {
    const at = `00000000000${String(5000 + index)}-00000-${device2}`;
    const event = { device: device2, seq: index + 1, prev, at, visit, put, value, over };
    events.push(event);
    prev = await hashOfEvent(event);
  }
  return {
    device: device2,
    from_seq: 1,
    prev: "",
    events: events.map(({ at, visit: v, put, value, over }) => ({
      at,
      visit: v,
      put,
      value,
      over,
    })),
    head: prev,
  };
}
