/** Dates and times of the record: ISO 8601, local, with the zone's offset (RFC 3339, 5.6). */

import { expect, test, vi } from "vitest";
import { moment, stampText, zoneOf } from "../../../src/app/device/local-time";

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
