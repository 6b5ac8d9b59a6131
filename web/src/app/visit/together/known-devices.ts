/** What the log on this phone says of the devices that write to its visits. */

import { CONTINUES, type LogEvent, SHOP } from "../../../shared/event";
import { shownValue } from "../../../store/log/events";
import type { Log } from "../../../store/log/log";
import { ofDevice } from "../../../store/schema";
import type { KnownDevices } from "./people";

const DEVICES = "devices/";

export async function knownDevices(log: Log): Promise<KnownDevices> {
  const [{ device: own }, shop = [], events] = await Promise.all([
    log.identity.get(),
    log.facts.read("shop"),
    log.store.run((database) =>
      database.getAllFromIndex(
        "events",
        "by_path",
        IDBKeyRange.bound([SHOP, CONTINUES], [SHOP, `${DEVICES}\uffff`]),
      ),
    ),
  ]);
  const continues: Record<string, string> = {};
  const paired: Record<string, string> = {};
  for (const event of events) {
    const value = (shownValue(event) ?? {}) as { device?: unknown; name?: unknown };
    if (event.put === CONTINUES && typeof value.device === "string") {
      continues[event.device] = value.device;
    }
    if (event.put.startsWith(DEVICES) && typeof value.name === "string") {
      if (shop.includes(event.device)) paired[event.put.slice(DEVICES.length)] = value.name;
    }
  }
  return { own, continues, shop, paired };
}

/** How far each device's chain was looked at. */
export type LookedUpTo = Readonly<Record<string, number>>;

/** What devices wrote to a scope after that, each device's in its order. */
export async function eventsAfter(
  log: Log,
  scope: string,
  devices: readonly string[],
  looked: LookedUpTo,
): Promise<LogEvent[]> {
  const chains = await log.store.run((database) =>
    Promise.all(
      devices.map((device) =>
        database.getAll("events", ofDevice(device, (looked[device] ?? 0) + 1)),
      ),
    ),
  );
  return chains.flat().filter((event) => event.scope === scope);
}

/** How far this phone has each device's chain. */
export async function topsOf(log: Log, devices: readonly string[]): Promise<LookedUpTo> {
  const tops = await Promise.all(devices.map((device) => log.chains.top(device)));
  return Object.fromEntries(devices.map((device, n) => [device, tops[n] ?? 0]));
}
