/**
 * What is written before one leaves a car: `deal/…` the bargain, `passed/<id>` a car that was
 * passed. What it comes to is the judge's to say (server/bradawl/judge/trouble/leaving.py).
 */

import type { Side } from "../../../shared/contract";
import { newId } from "../../../store/encoding";
import { moment, today } from "../../device/local-time";
import type { Change } from "../visit";

const ID_LETTERS = 12;

export function shortId(): string {
  return newId().slice(0, ID_LETTERS);
}

/** A price beside those before it; one that is asked is what is asked from now on. */
export function notePrice(amount: number, side: Side): Change[] {
  const { date, time } = moment();
  const changes: Change[] = [
    { put: `deal/prices/${shortId()}`, value: { amount, date, time, side } },
  ];
  if (side === "asked") changes.push({ put: "about/asking_price", value: amount });
  return changes;
}

/** Leave by a time of today; null takes it back. */
export function leaveBy(time: string): Change[] {
  return [{ put: "deal/leave_by", value: time === "" ? null : { date: today(), time } }];
}

/** A car that is passed stands so in its life too; nobody has paid. */
export function passCar(price: number | null, why: string, until: string): Change[] {
  const date = today();
  return [
    { put: `passed/${shortId()}`, value: { date, price, why, until } },
    { put: "life/state", value: { state: "passed", date, price_cents: null } },
  ];
}

/** Passing is taken back; with the last one the car is looked at again. */
export function unpassCar(id: string, isLast: boolean): Change[] {
  return [
    { put: `passed/${id}`, value: null },
    ...(isLast
      ? [{ put: "life/state", value: { state: "looking", date: today(), price_cents: null } }]
      : []),
  ];
}
