/** Two answers that were given without sight of one another: both sides, and what settles them. */

import type { Item } from "../../../shared/contract";
import type { Cell, Json } from "../../../shared/event";
import { type GradeValue, gradeChanges, photosIn } from "../items/item-record";
import type { Change } from "../visit";
import type { VisitView } from "../visit-view";
import { deviceOf, type People } from "./people";
import { aboutOf, clockOf, itemOf, saidOf } from "./words";

/** One of the answers, by whom and when, and what that person photographed there. */
export interface Side {
  at: string;
  value: Json;
  who: string;
  isOwn: boolean;
  when: string;
  said: string;
  photos: string[];
}

export interface Conflict {
  put: string;
  item: Item | null;
  about: string;
  /** The one that counts until somebody settles it comes first. */
  sides: Side[];
}

/** What no person settles: who has what, and what was said of a settling. */
const BESIDE = /^(people|settled|taken)\//;

/** What stands at a path: a tap on another check is no reason to look again. */
function cellAt(visit: VisitView, put: string): Cell | undefined {
  const [kind, item = ""] = put.split("/");
  return (kind === "items" ? visit.cellsOf(item) : visit.besideItems())[put];
}

/** A reason goes along with its grade, so it is asked about only where the grade is not. */
function goesAlong(visit: VisitView, put: string): boolean {
  if (!put.endsWith("/why")) return false;
  const grade = cellAt(visit, put.replace(/why$/, "grade"));
  return grade !== undefined && grade.others.length > 0;
}

function sidesOf(visit: VisitView, people: People, put: string): Side[] {
  const cell = cellAt(visit, put);
  if (cell === undefined) return [];
  const item = itemOf(visit, put);
  const cells = item === null ? {} : visit.cellsOf(item.id);
  const photos = item === null ? [] : photosIn(cells, item.id);
  const takenBy = (sha256: string) =>
    people.phoneOf(deviceOf(cells[`items/${item?.id}/photos/${sha256}`]?.at ?? ""));
  return [cell, ...cell.others].map(({ at, value }) => ({
    ...{ at, value, who: people.nameOf(deviceOf(at)), isOwn: people.isOwn(deviceOf(at)) },
    ...{ when: clockOf(at), said: saidOf(visit, put, value) },
    photos: photos.filter((sha256) => takenBy(sha256) === people.phoneOf(deviceOf(at))),
  }));
}

/** All that stands unsettled, of one item or of the whole visit. */
export function conflictsOf(visit: VisitView, people: People, item: string | null): Conflict[] {
  const cells = item === null ? visit.cells.value : visit.cellsOf(item);
  return Object.entries(cells)
    .filter(([put, { others }]) => others.length > 0 && !BESIDE.test(put) && !goesAlong(visit, put))
    .map(([put]) => ({
      put,
      item: itemOf(visit, put),
      about: aboutOf(visit, put),
      sides: sidesOf(visit, people, put),
    }))
    .sort((a, b) => (a.put < b.put ? -1 : 1));
}

/** What settles a path for one of its values; a grade takes the reason of who gave it along. */
export function settlingChanges(visit: VisitView, put: string, value: Json, at: string): Change[] {
  const item = itemOf(visit, put);
  if (item === null || put !== `items/${item.id}/grade`) return [{ put, value }];
  const cell = visit.cellsOf(item.id)[`items/${item.id}/why`];
  const reasons = cell === undefined ? [] : [cell, ...cell.others];
  const own = reasons.find((reason) => deviceOf(reason.at) === deviceOf(at) && reason.at >= at);
  const grade = (value as GradeValue | null)?.grade ?? null;
  return gradeChanges(visit, item, grade, own?.value ?? "");
}

/** What was settled at an item, by whom and when, as it stands now. */
export interface Settled {
  put: string;
  who: string;
  isOwn: boolean;
  when: string;
  about: string;
  said: string;
}

export function settledOf(visit: VisitView, people: People, item: string): Settled[] {
  const prefix = "settled/";
  return Object.entries(visit.besideItems())
    .filter(([put]) => put.startsWith(`${prefix}items/${item}/`) && !put.endsWith("/why"))
    .flatMap(([decision, { value, at }]) => {
      const put = decision.slice(prefix.length);
      const cell = visit.cellsOf(item)[put];
      const { reopened } = (value ?? {}) as { reopened?: Json };
      // asked anew, or in conflict once more: it is not settled
      if (value === null || reopened === true || cell === undefined || cell.others.length > 0) {
        return [];
      }
      const device = deviceOf(at);
      return {
        ...{ put, who: people.nameOf(device), isOwn: people.isOwn(device), when: clockOf(at) },
        ...{ about: aboutOf(visit, put), said: saidOf(visit, put, cell.value) },
      };
    });
}
