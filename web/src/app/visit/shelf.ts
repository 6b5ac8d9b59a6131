/**
 * Whether a visit stands in the lists, or was put away: archived, deleted, or never begun. The
 * server does the same (`bradawl/inspection/shelf.py`); `tests/inspection/shelf.json` holds both.
 */

import type { Cell, Cells } from "../../shared/event";

export const ARCHIVED = "about/archived";
export const DELETED = "about/deleted";
export const NAME = "about/name";

export type Shelf = "" | "archived" | "deleted" | "empty";

/** What the app notes by itself as a visit begins, and what says where it stands. */
const OWN = new Set([
  ...["about/app", "about/bundle", "about/currency", "about/depth", "about/inspector"],
  ...["about/region", "about/started", "car/id", ARCHIVED, DELETED],
]);

/** Whether a cell holds, or held, what a person said. */
function isTold(put: string, { value, others, erased }: Cell & { erased?: boolean }): boolean {
  return !OWN.has(put) && (value !== null || others.length > 0 || erased === true);
}

export function isSigned(cells: Cells): boolean {
  return Object.entries(cells).some(
    ([put, { value }]) => put.startsWith("seal/") && value !== null,
  );
}

/** Whether something of the car was recorded after the visit was deleted. */
function isWorkedOn(cells: Cells): boolean {
  const at = cells[DELETED]?.at ?? "";
  return Object.entries(cells).some(
    ([put, cell]) => !put.startsWith("about/") && cell.value !== null && cell.at > at,
  );
}

/**
 * Where a visit stands; "" for the lists. What is signed is never deleted, and what somebody
 * recorded of the car after a deletion brings the visit back.
 */
export function shelfOf(cells: Cells): Shelf {
  const stands = (put: string) => cells[put]?.value === true;
  if (stands(DELETED) && !isSigned(cells) && !isWorkedOn(cells)) return "deleted";
  if (stands(ARCHIVED)) return "archived";
  return Object.entries(cells).some(([put, cell]) => isTold(put, cell)) ? "" : "empty";
}
