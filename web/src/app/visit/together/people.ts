/** Who wrote what: the phones that have a visit, and what their people call themselves. */

import type { Cells } from "../../../shared/event";
import { text } from "../../text/catalogue";
import { DEVICE_FROM } from "../items/item-record";

/** Where a phone's person is named; only that phone's own word counts. */
const PEOPLE = "people/";

/** What this phone knows of the devices that may write to a visit. */
export interface KnownDevices {
  own: string;
  /** A device that goes on from another: one phone, whatever became of its storage. */
  continues: Readonly<Record<string, string>>;
  /** The server's own chains: what people do at the desk. */
  shop: readonly string[];
  /** What a phone was called when it was paired. */
  paired: Readonly<Record<string, string>>;
}

export function deviceOf(stamp: string): string {
  return stamp.slice(DEVICE_FROM);
}

export function nameChange(device: string, name: string): { put: string; value: { name: string } } {
  return { put: `${PEOPLE}${device}`, value: { name } };
}

export class People {
  /** The phones of other people, each by the first of its devices, sorted. */
  readonly others: readonly string[];
  /** The last stamp that this phone has of each of them. */
  readonly last: ReadonlyMap<string, string>;
  /** Every device that wrote here. */
  readonly devices: readonly string[];
  /** The same text for the same people with the same last words: own taps change none of it. */
  readonly key: string;
  private readonly names = new Map<string, { name: string; at: string }>();
  private readonly phones = new Map<string, string>();

  constructor(
    private readonly known: KnownDevices,
    cells: Cells,
  ) {
    const lastOf = new Map<string, string>();
    const take = (at: string) => {
      const device = deviceOf(at);
      if (device !== "" && at > (lastOf.get(device) ?? "")) lastOf.set(device, at);
    };
    for (const [put, cell] of Object.entries(cells)) {
      this.takeName(put, cell.value, cell.at);
      take(cell.at);
      for (const { at } of cell.others) take(at);
    }
    this.devices = [...lastOf.keys()].sort();
    const last = new Map<string, string>();
    for (const device of this.devices) {
      const phone = this.phoneOf(device);
      if (this.isOwn(phone) || this.isDesk(phone)) continue;
      const at = lastOf.get(device) as string;
      if (at > (last.get(phone) ?? "")) last.set(phone, at);
    }
    this.last = last;
    this.others = [...last.keys()].sort();
    this.key = JSON.stringify([this.devices, [...last], [...this.names]]);
  }

  private takeName(put: string, value: unknown, at: string): void {
    if (!put.startsWith(PEOPLE) || put.slice(PEOPLE.length) !== deviceOf(at)) return;
    const { name } = (value ?? {}) as { name?: unknown };
    const phone = this.phoneOf(deviceOf(at));
    const before = this.names.get(phone)?.at ?? "";
    if (typeof name === "string" && name.trim() !== "" && at > before) {
      this.names.set(phone, { name: name.trim(), at });
    }
  }

  /** The first device of the phone that a device belongs to. */
  phoneOf(device: string): string {
    const phone = this.phones.get(device) ?? this.firstOf(device);
    this.phones.set(device, phone);
    return phone;
  }

  private firstOf(device: string): string {
    const seen = new Set<string>();
    let phone = device;
    while (!seen.has(phone)) {
      seen.add(phone);
      const former = this.known.continues[phone];
      if (former === undefined) return phone;
      phone = former;
    }
    // devices that say of one another that they go on: any one of them stands for all
    return [...seen].sort()[0] as string;
  }

  isOwn(device: string): boolean {
    return this.phoneOf(device) === this.phoneOf(this.known.own);
  }

  isDesk(device: string): boolean {
    return this.known.shop.includes(device);
  }

  /** The name that this phone's person gave in this visit; "" where none. */
  ownName(): string {
    return this.names.get(this.phoneOf(this.known.own))?.name ?? "";
  }

  /** What a device's person is called; "You" for this phone's. */
  nameOf(device: string): string {
    if (this.isOwn(device)) return text("together-you");
    if (this.isDesk(device)) return text("together-desk");
    const paired = this.known.paired[device] ?? "";
    const isTelling = paired !== "" && paired !== text("phone-pair-default-name");
    return (
      this.names.get(this.phoneOf(device))?.name ??
      (isTelling ? paired : text("together-other-phone"))
    );
  }
}
