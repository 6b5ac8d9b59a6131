/**
 * Figures in the reader's unit: the twin of `measure` in server/bradawl/language/formats.py;
 * tests/language/measures.json holds both to one table. Exact until it is rounded once.
 */

import type { Region } from "../../shared/contract";
import { SYSTEM_OF_REGION, UNITS, USUAL } from "../../shared/units";
import { catalogue } from "./catalogue";
import { region } from "./region";

/** A number as two integers, the second above 0. */
type Exact = [n: bigint, d: bigint];

/** A canonical text (`2.5`, `-3`, `127/80`, `1 5/32`) as a number. Throws SyntaxError for another. */
function exactOf(text: string): Exact {
  const sign = text.startsWith("-") ? -1n : 1n;
  const [first = "", second] = text.replace(/^-/, "").split(" ");
  const [above = "", below] = (second ?? first).split("/");
  if (below !== undefined) {
    const whole = second === undefined ? 0n : BigInt(first);
    return [sign * (whole * BigInt(below) + BigInt(above)), BigInt(below)];
  }
  const [before = "", after = ""] = first.split(".");
  return [sign * BigInt(before + after), 10n ** BigInt(after.length)];
}

/** Decimal text with at most `places` digits after the point, rounded half away from zero. */
function rounded([n, d]: Exact, places: number): string {
  if (n % d === 0n) return String(n / d);
  const size = n < 0n ? -n : n;
  const scaled = String((2n * size * 10n ** BigInt(places) + d) / (2n * d)).padStart(
    places + 1,
    "0",
  );
  const after = scaled.slice(scaled.length - places).replace(/0+$/, "");
  const text = scaled.slice(0, scaled.length - places) + (places > 0 && after ? `.${after}` : "");
  return n < 0n && /[1-9]/.test(text) ? `-${text}` : text;
}

export function isUnit(unit: string): boolean {
  return UNITS[unit] !== undefined;
}

/** A figure in its quantity's base unit as a figure of `unit`, rounded as that unit deserves. */
export function fromBase(base: string, unit: string): string {
  const entry = UNITS[unit];
  if (entry === undefined) return base;
  const [n, d] = exactOf(base);
  const below = d * entry.n;
  return rounded([n * entry.d - entry.offset * below, below], entry.places);
}

/** A figure of one unit as a figure of another one of the same quantity. */
export function converted(figure: string, unit: string, wanted: string): string {
  const entry = UNITS[unit];
  if (unit === wanted || entry === undefined) return figure;
  const [n, d] = exactOf(figure);
  return fromBase(`${(n + entry.offset * d) * entry.n}/${d * entry.d}`, wanted);
}

/**
 * The unit in which the reader wants what is given in `unit`: of those that a checklist asks for it
 * in the first of the reader's system, else that system's usual one.
 */
export function unitFor(
  unit: string,
  offered: readonly string[] = [],
  where: Region = region.value,
): string {
  const system = SYSTEM_OF_REGION[where];
  const entry = UNITS[unit];
  if (entry === undefined || entry.system === "" || entry.system === system) return unit;
  const own = offered.find((other) => UNITS[other]?.system === system);
  return own ?? USUAL[system]?.[entry.quantity] ?? unit;
}

/** The unit in which the reader first types a reading. */
export function firstUnit(offered: readonly string[], where: Region = region.value): string {
  const system = SYSTEM_OF_REGION[where];
  return offered.find((unit) => UNITS[unit]?.system === system) ?? offered[0] ?? "";
}

/** A decimal text with a point as the reader writes it: `1,234.5`. */
export function decimal(figure: string): string {
  const digits = figure.split(".")[1]?.length ?? 0;
  return Number(figure).toLocaleString(catalogue.formats, {
    minimumFractionDigits: digits,
    maximumFractionDigits: digits,
  });
}
