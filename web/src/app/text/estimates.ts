/** Estimates, rounded for the eye; the server has the same rule (language/formats.py, `about`). */

import { money } from "./formats";

/** Up to how many whole units, to how many. */
const STEPS = [
  { below: 10, step: 1 },
  { below: 100, step: 5 },
  { below: 1_000, step: 10 },
];
const STEP_BEYOND = 50;

/** "$1,300" for 1,287: half up to the step of its size, and never nothing unless it is nothing. */
export function about(amount: number, currency: string): string {
  const size = Math.abs(amount);
  const step = STEPS.find(({ below }) => size < below)?.step ?? STEP_BEYOND;
  const rounded = size === 0 ? 0 : Math.max(Math.floor((2 * size + step) / (2 * step)), 1) * step;
  return money(amount < 0 ? -rounded : rounded, currency);
}
