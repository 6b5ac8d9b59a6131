/** Which facts of the car a check hangs on, while nobody answered them. No source: the page's promise. */

import { expect, test } from "vitest";
import { factOf, mayHold, UNKNOWN, unanswered } from "../../../src/app/visit/car-facts";
import type { VisitView } from "../../../src/app/visit/visit-view";
import type { Item } from "../../../src/shared/contract";
import type { Json } from "../../../src/shared/event";

const VOLTS = {
  id: "volts",
  title: "Volts",
  choices: [
    { id: "12", title: "12 volts" },
    { id: "6", title: "6 volts" },
  ],
};
const INJECTION = { ...VOLTS, id: "injection", applies: { fuelling: ["injection"] } };

function seen(car: Record<string, Json>): VisitView {
  const profile = [{ id: "all", title: "All", facts: [VOLTS, INJECTION] }];
  const value = (put: string): Json => car[put.replace("car/", "")] ?? null;
  return { value, bundle: { profile } } as unknown as VisitView;
}

/** A check for drums of older cars, with a limit for each voltage, and one of the injection's kind. */
const CHECK = {
  applies: { rear_brakes: ["drum"], year: { to: 1990 }, region: ["us"] },
  limits: [{ applies: { volts: ["6"] } }, { applies: { volts: ["12"] } }, {}],
} as unknown as Item;
const FED = { applies: { injection: ["port"] }, limits: [] } as unknown as Item;

const names = (car: Record<string, Json>, item: Item) =>
  unanswered(seen(car), item).map(({ put }) => put);

test("what a check or one of its limits hangs on is asked once, and nothing that is no fact to pick", () => {
  expect(names({}, CHECK)).toEqual(["car/rear_brakes", "car/volts"]);
  expect(names({ rear_brakes: "drum" }, CHECK)).toEqual(["car/volts"]);
  expect(names({ rear_brakes: "drum", volts: "6" }, CHECK)).toEqual([]);
});

test("who doesn't know is not asked again, and the car is still taken to have it", () => {
  const car = { rear_brakes: UNKNOWN, volts: UNKNOWN };
  expect(names(car, CHECK)).toEqual([]);
  expect(factOf(seen(car), "car/volts")).toBeNull();
  expect(mayHold(seen(car), { volts: ["6"] })).toBe(true);
  expect(mayHold(seen({ volts: "12" }), { volts: ["6"] })).toBe(false);
});

test("a fact of one kind of car is not asked of the other", () => {
  expect(names({}, FED)).toEqual(["car/injection"]);
  expect(names({ fuelling: "injection" }, FED)).toEqual(["car/injection"]);
  expect(names({ fuelling: "carburettor" }, FED)).toEqual([]);
});
