/** Where the readings of an item are taken on this car, and under which path each is recorded. */

import type { Item, Reading } from "../../../shared/contract";
import { dateText, monthNames } from "../../text/formats";
import { firstUnit } from "../../text/measures";
import { isCylinder } from "../../text/names";
import { region } from "../../text/region";
import { days, numbers, type Style } from "../../text/typed";
import { isAbsent } from "../body/car-places";
import type { VisitView } from "../visit-view";

/** The place of a reading that is taken but once. */
export const ONLY_PLACE = "one";
export const CYLINDERS_PUT = "car/cylinders";
/** Shown until somebody says how many: few engines have more, and twelve fields would be folded. */
const USUAL_CYLINDERS = 8;

/**
 * A reading as it was typed; `read` as a canonical text where that could be taken otherwise, "" where
 * only others could read it; `sure` where the person was asked which unit it is.
 */
export type Typed = {
  typed: string;
  unit: string;
  read?: string;
  sure?: true;
  /** Of the car's own figure: where it was read, and the shop's model that it came from. */
  from?: string;
  model?: string;
};

/** Readings of one kind are taken in the same unit, on whatever item: the same figure asked for. */
export function unitKind({ id, units, plausible }: Reading): string {
  return [id, ...units, ...(plausible ?? [])].join(" ");
}

/** The unit in which this person takes a reading: as last time, else as the region's trade. */
export function usualUnit(reading: Reading, chosen: Record<string, string>): string {
  const last = chosen[unitKind(reading)];
  return last !== undefined && reading.units.includes(last) ? last : firstUnit(reading.units);
}

/** Quantities whose single mark before three digits can only group them: an odometer, rpm. */
const WHOLE = new Set(["distance", "count"]);

/** A reading's text and unit as it is recorded; null for an empty text. */
export function typedValue(reading: Reading, text: string, unit: string): Typed | null {
  const typed = text.trim();
  if (typed === "") return null;
  const meanings = (style: Style) =>
    reading.quantity === "date"
      ? days(typed, style, monthNames())
      : numbers(typed, style, WHOLE.has(reading.quantity));
  const [read, ...others] = meanings(region.value);
  const alone = reading.quantity === "date" ? days(typed) : meanings("");
  if (read === undefined && alone.length > 0) return { typed, unit, read: "" };
  if (read === undefined || others.length > 0) return { typed, unit };
  return alone.length === 1 && alone[0] === read ? { typed, unit } : { typed, unit, read };
}

/** What stands in the field of a recorded reading while nobody types: a date in the person's form. */
export function shownTyped(reading: Reading, value: Typed | null): string {
  if (value === null) return "";
  if (reading.quantity !== "date") return value.typed;
  return dateText(value.read ?? days(value.typed)[0] ?? value.typed);
}

/** Where the car keeps a figure of its own. */
export function figurePut(figure: string, place: string): string {
  return place === ONLY_PLACE ? `car/${figure}` : `car/${figure}_${place}`;
}

/** The car's own figure is kept with the car, where the check itself has none from before. */
export function readingPut(visit: VisitView, item: Item, reading: Reading, place: string): string {
  const own = `items/${item.id}/readings/${reading.id}/${place}`;
  const { figure } = reading;
  return figure === undefined || visit.value(own) !== null ? own : figurePut(figure, place);
}

/** The number of cylinders that was recorded, or null while nobody said. */
export function cylindersOf(visit: VisitView): number | null {
  const value = visit.value(CYLINDERS_PUT);
  return typeof value === "number" ? value : null;
}

/**
 * Where it is measured on this car. Past its last cylinder, and on panels that its body style has
 * not, stays only what was recorded there.
 */
export function placesOf(visit: VisitView, item: Item, reading: Reading): string[] {
  const places = reading.at ?? [];
  if (places.length === 0) return [ONLY_PLACE];
  const cylinders = cylindersOf(visit) ?? USUAL_CYLINDERS;
  return places.filter(
    (place) =>
      (isCylinder(place) ? Number(place) <= cylinders : !isAbsent(visit, place)) ||
      visit.value(readingPut(visit, item, reading, place)) !== null,
  );
}
