/** The fields of the haul plan: choices, weights with their unit, counts and words (`haul/<field>`). */

import type { Cells, Json } from "../../../../shared/event";

export const CHOICES = {
  way: ["trailer", "drive", "hired"],
  rolls: ["yes", "no", "unknown"],
  steers: ["yes", "no", "unknown"],
  stops: ["yes", "no", "unknown"],
  brakes: ["yes", "no"],
  plates: ["plates", "permit", "none"],
  insured: ["yes", "no"],
} as const;
export type Choice = keyof typeof CHOICES;

export const UNITS = ["lb", "kg"] as const;
export type Unit = (typeof UNITS)[number];

/** Loads first, then what each is rated for. */
export const WEIGHTS = [
  ...(["car", "gear", "trailer", "trailer_rating", "tow_rating", "hitch_rating"] as const),
  ...(["tongue", "tongue_rating", "strap_limit"] as const),
];
export type Weight = (typeof WEIGHTS)[number];
export const WORDS = ["daylight", "weather"] as const;

function at(cells: Cells, field: string): Json {
  return cells[`haul/${field}`]?.value ?? null;
}

/** A choice or words; "" for none. */
export function haulText(cells: Cells, field: string): string {
  const value = at(cells, field);
  return typeof value === "string" ? value : "";
}

/** A weight as it was typed; "" for none. */
export function haulWeight(cells: Cells, field: string): { typed: string; unit: Unit | null } {
  const value = at(cells, field);
  if (typeof value !== "object" || value === null || Array.isArray(value)) {
    return { typed: "", unit: null };
  }
  const { typed, unit } = value;
  return {
    typed: typeof typed === "string" ? typed : "",
    unit: UNITS.find((one) => one === unit) ?? null,
  };
}
