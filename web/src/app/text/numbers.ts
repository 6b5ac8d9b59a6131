/** Numbers in a field: what can be part of one, and one step up or down. */

import { region } from "./region";
import { numbers } from "./typed";

/** How far one press of a stepper goes, by unit; in thousandths, so that no fraction is computed. */
const STEP_MILLI: Record<string, number> = {
  mm: 500,
  "in/32": 1000,
  mil: 1000,
  um: 10_000,
  psi: 1000,
  kPa: 10_000,
  bar: 100,
  inHg: 1000,
  degC: 5000,
  degF: 10_000,
  V: 100,
  mV: 10_000,
  A: 100,
  mA: 10_000,
  ohm: 100,
  kohm: 100,
  Nm: 5000,
  "lbf.ft": 5000,
  "%": 5000,
  s: 1000,
  deg: 1000,
};
const USUAL_STEP_MILLI = 1000;

/** What is recorded where a gauge shows no figure: no steel below the paint, and why; no circuit. */
export const NO_FIGURE: Record<string, string[]> = {
  film: ["none", "plastic", "aluminum", "absent"],
  resistance: ["open"],
};

/** Whether this person's language writes 2,5 for 2.5. */
export function usesComma(locale?: string): boolean {
  return new Intl.NumberFormat(locale).format(0.5).includes(",");
}

/** Keep what can be part of a number: figures, what groups them, a sign, a stroke for fractions. */
export function cleanNumber(text: string): string {
  if (Object.values(NO_FIGURE).flat().includes(text)) return text;
  return text.replace(/[^0-9,./ '\u2019+¼½¾⅛⅜⅝⅞\u2044-]/g, "").replace(/^\s+/, "");
}

/** A decimal number as its text means it here; null for a fraction, or where it may mean two. */
function decimalOf(typed: string): string | null {
  if (typed.trim() === "") return "0";
  const [read, ...others] = numbers(typed, region.value);
  return read === undefined || others.length > 0 || read.includes("/") ? null : read;
}

/** A typed decimal number in thousandths, 0 for an empty text; null for anything else. */
export function milliOf(typed: string): number | null {
  const read = decimalOf(typed);
  return read === null ? null : Math.round(Number(read) * 1000);
}

/** One step up or down from what was typed; keeps the person's comma, or writes the usual one. */
export function stepped(
  typed: string,
  unit: string,
  isUp: boolean,
  isCommaUsual = usesComma() && region.value !== "us",
): string {
  const now = milliOf(typed);
  if (now === null) return typed;
  const hasPoint = decimalOf(typed)?.includes(".") === true;
  const isComma = hasPoint ? typed.lastIndexOf(",") > typed.lastIndexOf(".") : isCommaUsual;
  const step = STEP_MILLI[unit] ?? USUAL_STEP_MILLI;
  const next = Math.max(0, now + (isUp ? step : -step));
  const whole = Math.floor(next / 1000);
  const rest = String(next % 1000)
    .padStart(3, "0")
    .replace(/0+$/, "");
  return rest === "" ? String(whole) : `${whole}${isComma ? "," : "."}${rest}`;
}
