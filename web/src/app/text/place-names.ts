/** Names of places as a person reads them. */

import { words } from "./en";

function plain(id: string): string {
  const spaced = id.replaceAll("-", " ").replaceAll("_", " ");
  return spaced.charAt(0).toUpperCase() + spaced.slice(1);
}

/** A unit as a person writes it; the record keeps the judge's own name. */
export function unitName(unit: string): string {
  return words.units[unit] ?? unit;
}

/** Whether a place is a cylinder: such places are bare numbers. */
export function isCylinder(place: string): boolean {
  return /^\d+$/.test(place);
}

export function placeName(place: string): string {
  if (isCylinder(place)) return words.cylinder(place);
  return words.places[place] ?? plain(place);
}
