/** What codes are called: ratings, places on the car, units. */

import type { Grade, GradeOrigin } from "../../shared/contract";
import { MARK_OF_GRADE, MARK_WORD, type MarkId } from "../../shared/marks";
import { catalogue, text } from "./catalogue";

/** What stands beside a mark, on every medium. */
export function markName(id: MarkId): string {
  return text(MARK_WORD[id]);
}

/** `by`: how it came about; an OK that no figure of this car was held against says so. */
export function gradeName(grade: Grade | null, by: GradeOrigin | null = null): string {
  if (grade === "none" && by === "eye") return text("grade-none-eye");
  return markName(grade === null ? "open" : MARK_OF_GRADE[grade]);
}

/** Whether a place is a cylinder: such places are bare numbers. */
export function isCylinder(place: string): boolean {
  return /^\d+$/.test(place);
}

/** A place as it stands within a sentence: "front left"; one of the shop's own by its id. */
export function placeName(place: string): string {
  if (isCylinder(place)) return text("place-cylinder", { number: place });
  if (catalogue.has(`place-${place}`)) return catalogue.find(`place-${place}`);
  const spot = /^(.+)-(\d+)$/.exec(place);
  if (spot !== null) {
    return text("place-spot", { place: placeName(spot[1] ?? ""), number: spot[2] ?? "" });
  }
  return place.replaceAll(/[-_]/g, " ");
}

/** A place that stands alone: "Front left". */
export function placeLabel(place: string): string {
  const name = placeName(place);
  return `${name.charAt(0).toLocaleUpperCase(catalogue.formats)}${name.slice(1)}`;
}

/**
 * A figure with its unit: "3 mm", "2/32 in". A fraction that was typed under 1/32 in is one of an
 * inch, as the judge reads it: "1 1/2 in".
 */
export function withUnit(figure: string, unit: string): string {
  if (unit === "in/32" && figure.includes("/")) return withUnit(figure, "in");
  const code = unit === "%" ? "percent" : unit.replaceAll(/[/.]/g, "-");
  if (!catalogue.has(`unit-${code}`)) return figure;
  return catalogue.find(`unit-${code}`, { figure, count: figure === "1" ? 1 : 2 });
}

/** A unit that stands alone: "mm", "1/32 in"; the record keeps its code. */
export function unitName(unit: string): string {
  return unit === "in/32" ? text("phone-unit-in-32") : withUnit("", unit).trim();
}
