/** Where the readings of an item are taken on this car, and under which path each is recorded. */

import type { Item, Reading } from "../../shared/contract";
import { isCylinder } from "../text/names";
import type { VisitView } from "./visit-view";

/** The place of a reading that is taken but once. */
export const ONLY_PLACE = "one";
export const CYLINDERS_PUT = "car/cylinders";

/** A reading as it was typed. */
export interface Typed {
  typed: string;
  unit: string;
}

export function readingPut(item: Item, reading: Reading, place: string): string {
  return `items/${item.id}/readings/${reading.id}/${place}`;
}

/** The number of cylinders that was recorded, or null while nobody said. */
export function cylindersOf(visit: VisitView): number | null {
  const value = visit.value(CYLINDERS_PUT);
  return typeof value === "number" ? value : null;
}

/** Where it is measured on this car. Past the last cylinder stays only what was recorded there. */
export function placesOf(visit: VisitView, item: Item, reading: Reading): string[] {
  const places = reading.at ?? [];
  if (places.length === 0) return [ONLY_PLACE];
  const cylinders = cylindersOf(visit);
  if (cylinders === null) return places;
  return places.filter(
    (place) =>
      !isCylinder(place) ||
      Number(place) <= cylinders ||
      visit.value(readingPut(item, reading, place)) !== null,
  );
}
