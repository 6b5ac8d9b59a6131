/**
 * Numbers as a person types them, comma or point. What is recorded is the text that was typed; the
 * judge alone computes with it (server/bradawl/judge/record/readings.py).
 */

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

/** What a gauge that shows no figure is recorded as: no steel below the paint, no circuit. */
export const NO_FIGURE: Record<string, string> = { film: "none", resistance: "open" };

/** Whether this person's language writes 2,5 for 2.5. */
export function usesComma(locale?: string): boolean {
  return new Intl.NumberFormat(locale).format(0.5).includes(",");
}

/** Keep what can be part of a number: figures, one comma or point, a sign, a stroke for fractions. */
export function cleanNumber(text: string): string {
  if (Object.values(NO_FIGURE).includes(text)) return text;
  return text.replace(/[^0-9,./ +-]/g, "").replace(/^\s+/, "");
}

/** A typed decimal number in thousandths, 0 for an empty text; null for anything else. */
export function milliOf(typed: string): number | null {
  const plain = typed.replace(/\s/g, "").replace(",", ".");
  if (plain === "") return 0;
  return /^[+-]?\d*\.?\d*$/.test(plain) ? Math.round(Number(plain) * 1000) : null;
}

/** One step up or down from what was typed; keeps the person's comma, or writes the usual one. */
export function stepped(
  typed: string,
  unit: string,
  isUp: boolean,
  isCommaUsual = usesComma(),
): string {
  const now = milliOf(typed);
  if (now === null) return typed;
  const isComma = typed.includes(",") || (isCommaUsual && !typed.includes("."));
  const step = STEP_MILLI[unit] ?? USUAL_STEP_MILLI;
  const next = Math.max(0, now + (isUp ? step : -step));
  const whole = Math.floor(next / 1000);
  const rest = String(next % 1000)
    .padStart(3, "0")
    .replace(/0+$/, "");
  return rest === "" ? String(whole) : `${whole}${isComma ? "," : "."}${rest}`;
}

/** A whole number as it was typed, without what groups its figures: "1 250" and "1'250" are 1250. */
export function ungrouped(text: string): string {
  return text.replace(/[\s'’]/g, "");
}
