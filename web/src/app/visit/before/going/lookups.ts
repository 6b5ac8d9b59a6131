/**
 * Look-ups in a record: `lookups/<id>/kind` is one of the checklist's, with `result`, `date` and `note`
 * beside it and the photos that show it. None is overwritten: looked up again is another one.
 */

import type { LookupResult } from "../../../../shared/contract";
import type { Cells } from "../../../../shared/event";
import { newId } from "../../../../store/encoding";
import type { Change } from "../../visit";

const ID_LETTERS = 12;
/** The worse first: of what two people wrote unseen of one another it counts. */
export const RESULTS = ["good", "not_found", "bad"] as const satisfies LookupResult[];

export interface Lookup {
  id: string;
  kind: string;
  result: LookupResult;
  date: string;
  note: string;
  photos: string[];
}

/** The look-ups of a visit, the latest first. */
export function lookupsOf(cells: Cells): Lookup[] {
  const found = new Map<string, Map<string, unknown>>();
  for (const [put, { value }] of Object.entries(cells)) {
    const [area, id, ...rest] = put.split("/");
    if (area !== "lookups" || id === undefined || value === null) continue;
    found.set(id, (found.get(id) ?? new Map()).set(rest.join("/"), value));
  }
  return [...found]
    .flatMap(([id, fields]) => {
      const text = (key: string) => {
        const value = fields.get(key);
        return typeof value === "string" ? value : "";
      };
      const result = RESULTS.find((one) => one === fields.get("result"));
      if (result === undefined || text("kind") === "") return [];
      const photos = [...fields.keys()].flatMap((path) =>
        path.startsWith("photos/") ? [path.slice("photos/".length)] : [],
      );
      const [kind, date, note] = [text("kind"), text("date"), text("note")];
      return [{ id, kind, result, date, note, photos: photos.sort() }];
    })
    .sort((a, b) => (`${a.date} ${a.id}` > `${b.date} ${b.id}` ? -1 : 1));
}

export function noteLookup(kind: string, result: LookupResult, date: string): Change[] {
  const start = `lookups/${newId().slice(0, ID_LETTERS)}`;
  return [
    { put: `${start}/kind`, value: kind },
    { put: `${start}/result`, value: result },
    { put: `${start}/date`, value: date },
  ];
}

/** What takes a look-up back with all that stands below it. */
export function dropLookup(cells: Cells, id: string): Change[] {
  return Object.entries(cells)
    .filter(([put, { value }]) => put.startsWith(`lookups/${id}/`) && value !== null)
    .map(([put]) => ({ put, value: null }));
}
