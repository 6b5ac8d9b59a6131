/** Dates and times of the record: ISO 8601, local, with the zone's offset (RFC 3339, 5.6). */

import { expect, test, vi } from "vitest";
import { ago, duration, moment, stampText, zoneOf } from "../../src/app/device/local-time";

/** A date whose zone is so many minutes east of UTC. */
function dateAt(text: string, east_min: number): Date {
  const date = new Date(text);
  vi.spyOn(date, "getTimezoneOffset").mockReturnValue(-east_min);
  return date;
}

test.each([
  // zones as the IANA data base has them: Kolkata, Vienna in winter, London, St. John's, Chicago
  [330, "+05:30"],
  [60, "+01:00"],
  [0, "+00:00"],
  [-210, "-03:30"],
  [-360, "-06:00"],
])("%i minutes east of UTC are written %s", (east_min, zone) => {
  expect(zoneOf(dateAt("2026-11-25T12:00:00Z", east_min))).toBe(zone);
});

test("a moment has two figures for each part, and a text has them together", () => {
  const date = new Date(2026, 0, 5, 7, 3, 9);
  vi.spyOn(date, "getTimezoneOffset").mockReturnValue(300);
  expect(moment(date)).toEqual({ date: "2026-01-05", time: "07:03", zone: "-05:00" });
  expect(stampText(date)).toBe("2026-01-05T07:03:09-05:00");
});

const MINUTE_MS = 60_000;

test.each([
  [29_000, "less than a minute"],
  [MINUTE_MS, "1 min"],
  [59 * MINUTE_MS, "59 min"],
  [60 * MINUTE_MS, "1 h"],
  [47 * 60 * MINUTE_MS, "47 h"],
  [48 * 60 * MINUTE_MS, "2 days"],
  [10 * 24 * 60 * MINUTE_MS, "10 days"],
])("%i ms are said as %o", (ms, text) => {
  expect(duration(ms)).toBe(text);
});

test("what lies ahead by a wrong clock is no time ago", () => {
  expect(ago(5_000 * MINUTE_MS, 0)).toBe("less than a minute");
  expect(ago(0, 5 * MINUTE_MS)).toBe("5 min");
});
