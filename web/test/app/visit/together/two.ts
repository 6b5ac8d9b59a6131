/** A car that Ana's phone (own) and Ben's walk together, as records; names are invented. */

import { People } from "../../../../src/app/visit/together/people";
import { Visit } from "../../../../src/app/visit/visit";
import type { Cells, Json, LogEvent } from "../../../../src/shared/event";
import { bundle, item, newPage, scope, visitId } from "../../pages";

export const ANA = "a".repeat(32);
export const BEN = "b".repeat(32);
export const DESK = "d".repeat(32);

export const known = { own: ANA, continues: {}, shop: [DESK], paired: {} };

/** Minutes after noon of the day on which the tests run, so that no date stands beside the time. */
const noon = new Date().setHours(12, 0, 0, 0);

export function at(minute: number, device: string): string {
  return `${String(noon + minute * 60_000).padStart(15, "0")}-00000-${device}`;
}

export type Written = [put: string, value: Json, minute: number, device: string];

/** What stands; a path that was written twice has the later beside the earlier, as unseen. */
export function cellsOf(written: Written[]): Cells {
  const cells: Cells = {};
  for (const [put, value, minute, device] of written) {
    const before = cells[put];
    const others = before ? [{ value: before.value, at: before.at }, ...before.others] : [];
    cells[put] = { value, at: at(minute, device), others };
  }
  return cells;
}

export const NAMES: Written[] = [
  [`people/${ANA}`, { name: "Ana" }, 0, ANA],
  [`people/${BEN}`, { name: "Ben" }, 0, BEN],
];

/** The checklist of these tests, with a check that has words and figures of its own. */
export const checklist = {
  ...bundle,
  items: [
    ...bundle.items,
    item("body.beam", {
      title: "Left beam",
      stage: "underneath",
      choices: [
        { id: "holed", title: "Rusted through", grade: "dangerous" as const },
        { id: "sound", title: "Solid", grade: "none" as const },
      ] as never,
      readings: [{ id: "left", title: "Metal left", quantity: "length", units: ["mm"] }] as never,
    }),
  ],
  rules: {
    ...bundle.rules,
    items: {
      "body.beam": {
        choices: [
          { id: "holed", title: "Rusted through" },
          { id: "sound", title: "Solid" },
        ],
      },
    },
  },
} as unknown as typeof bundle;

const page = newPage();

export function visitOf(written: Written[]): { visit: Visit; people: People } {
  const cells = cellsOf(written);
  const visit = Visit.of(page, visitId, checklist, cells, null, ANA);
  return { visit, people: new People(known, cells) };
}

/** An event as it lies on this phone. */
export function event(seq: number, [put, value, minute, device]: Written): LogEvent {
  return {
    ...{ device, seq, prev: "", at: at(minute, device), scope, put, commit: "", over: [] },
    ...{ value: JSON.stringify(value), salt: "" },
  };
}
