/** The visit that a seller is looking at: stored, so that a restart shows no more than the screen did. */

import { signal } from "@preact/signals";
import type { Facts } from "../../store/facts";

const DIGITS = ["1", "2", "3", "4", "5", "6", "7", "8", "9"];

export class SellerMode {
  /** Null when the phone is in its owner's hand. */
  readonly visit = signal<string | null>(null);

  constructor(private readonly facts: Facts) {}

  async restore(): Promise<void> {
    this.visit.value = (await this.facts.read("seller")) ?? null;
  }

  async show(visit: string | null): Promise<void> {
    // stored first: a restart must not show more than the screen did
    await this.facts.write("seller", visit);
    this.visit.value = visit;
  }
}

/** Three different digits, in the order in which the owner taps them to get out. */
export function newWayOut(): string[] {
  const left = [...DIGITS];
  const order: string[] = [];
  for (const random of crypto.getRandomValues(new Uint8Array(3))) {
    order.push(left.splice(random % left.length, 1)[0] ?? "1");
  }
  return order;
}
