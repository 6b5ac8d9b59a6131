/** What others wrote to a visit since this phone's person last looked. */

import { computed, type ReadonlySignal } from "@preact/signals";
import { FAULTS, type Grade, type Item } from "../../../shared/contract";
import type { LogEvent } from "../../../shared/event";
import { shownValue } from "../../../store/log/events";
import { text } from "../../text/catalogue";
import { nameOfFact } from "../find/finding";
import { type GradeValue, shownGrade } from "../items/item-record";
import type { VisitView } from "../visit-view";
import { deviceOf, type People } from "./people";
import { itemOf, saidOf } from "./words";

/** What one person wrote of one check, or of one fact of the car. */
export interface Came {
  key: string;
  item: Item | null;
  title: string;
  who: string;
  /** The stamp of the latest of it. */
  at: string;
  said: string;
  /** How the check is rated now, or by that person; null for a fact and for what is not rated. */
  grade: Grade | null;
}

/** Of several entries about one check, which says it best. */
const TELLING = ["choice", "readings", "text", "grade", "note", "photos"];

const SEVERITY: (Grade | null)[] = [...FAULTS].reverse();

function rank({ grade }: Came): number {
  const found = SEVERITY.indexOf(grade);
  return found === -1 ? SEVERITY.length + (grade === "none" ? 1 : 0) : found;
}

/** Whether it is no fault: such lines can wait. */
export function isFine({ grade }: Came): boolean {
  return grade === "none";
}

export function isUnsafe({ grade }: Came): boolean {
  return grade === "dangerous";
}

function ofItem(
  visit: VisitView,
  item: Item,
  events: LogEvent[],
): Omit<Came, "key" | "who" | "at"> {
  const kindOf = ({ put }: LogEvent) => TELLING.indexOf(put.split("/")[2] ?? "");
  const stands = events.filter((event) => shownValue(event) !== null && kindOf(event) >= 0);
  const last = new Map(stands.map((event) => [event.put, event]));
  const [best] = [...last.values()].sort((a, b) => kindOf(a) - kindOf(b));
  const rated = events.map(shownValue).map((value) => (value as GradeValue | null)?.grade);
  const grade = shownGrade(visit, item) ?? rated.filter((one) => one !== undefined).pop() ?? null;
  const title = item.title || text("judge-own-untitled");
  if (best === undefined) return { item, title, said: text("phone-item-nothing"), grade };
  const isPhoto = TELLING[kindOf(best)] === "photos";
  const said = isPhoto ? text("together-photo") : saidOf(visit, best.put, shownValue(best));
  return { item, title, said, grade };
}

/** What one person wrote of one thing, as the record stands; null for what nobody is told. */
function ofGroup(visit: VisitView, people: People, key: string, group: LogEvent[]): Came | null {
  const last = group[group.length - 1] as LogEvent;
  const beside = { key, who: people.nameOf(deviceOf(last.at)), at: last.at };
  const item = itemOf(visit, last.put);
  if (item !== null) return { ...beside, ...ofItem(visit, item, group) };
  const title = /^(about|brief|car)\//.test(last.put) ? nameOfFact(visit, last.put) : null;
  if (title === null) return null;
  const said = saidOf(visit, last.put, shownValue(last));
  return { ...beside, item: null, title, said, grade: null };
}

/**
 * `events` are those of others that were not looked at, each device's in its order. A line of its
 * own follows each check: a tap on one is no reason to tell the others again.
 */
export function cameSince(
  visit: VisitView,
  people: People,
  events: LogEvent[],
): ReadonlySignal<Came[]> {
  const groups = new Map<string, LogEvent[]>();
  for (const event of events) {
    if (!people.others.includes(people.phoneOf(event.device))) continue;
    const [kind, id] = event.put.split("/");
    const about = kind === "items" ? `items/${id}` : event.put;
    const key = `${people.phoneOf(event.device)} ${about}`;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [event]);
    else group.push(event);
  }
  const lines = [...groups].map(([key, group]) =>
    computed(() => ofGroup(visit, people, key, group)),
  );
  return computed(() => {
    const came = lines.map((line) => line.value).filter((line) => line !== null);
    // dangers first, then the worst, then the latest
    return came.sort((a, b) => rank(a) - rank(b) || (a.at < b.at ? 1 : -1));
  });
}
