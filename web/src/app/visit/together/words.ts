/** How entries are told beside their people: what about, what it says, and when. */

import type { Item } from "../../../shared/contract";
import type { Json } from "../../../shared/event";
import { stampTime } from "../../../store/log/clock";
import { catalogue, text } from "../../text/catalogue";
import { money } from "../../text/formats";
import { placeLabel } from "../../text/names";
import { factText, nameOfFact } from "../find/finding";
import { valueText } from "../items/item-record";
import type { VisitView } from "../visit-view";

/** Readings without places stand under this word. */
const SINGLE = "one";

/** The check or own finding that a path is about; null for anything else. */
export function itemOf(visit: VisitView, put: string): Item | null {
  const [kind, id = ""] = put.split("/");
  return kind === "items" ? (visit.item(id) ?? null) : null;
}

/** "2:14 PM"; of another day with its date, all in this phone's zone. */
export function clock(ms: number, now: number = Date.now()): string {
  const isToday = new Date(ms).toDateString() === new Date(now).toDateString();
  const time = { hour: "numeric", minute: "2-digit" } as const;
  const day = isToday ? {} : ({ month: "short", day: "numeric" } as const);
  return new Intl.DateTimeFormat(catalogue.formats, { ...day, ...time }).format(ms);
}

export function clockOf(stamp: string): string {
  return clock(stampTime(stamp));
}

function readingName(item: Item, name: string, place: string): string {
  const reading = item.readings?.find(({ id }) => id === name)?.title ?? name;
  if (place === "" || place === SINGLE) return reading;
  return text("together-reading-at", { reading, place: placeLabel(place) });
}

/** What an entry is about, without the check it belongs to: "Rating", "Pad thickness, Front left". */
export function aboutOf(visit: VisitView, put: string): string {
  const item = itemOf(visit, put);
  const [, , kind = "", name = "", place = ""] = put.split("/");
  if (item === null) return nameOfFact(visit, put) ?? text("together-entry");
  switch (kind) {
    case "grade":
      return text("together-rating");
    case "choice":
      return text("together-answer");
    case "readings":
      return readingName(item, name, place);
    case "note":
      return text("phone-item-note");
    case "text":
      return text("phone-item-text");
    case "why":
      return text("phone-item-why-else");
    case "photos":
      return text("phone-photo-caption");
    case "wires":
      return text("together-wires");
    default:
      return text("together-entry");
  }
}

/** What an entry says: the answer's words, a reading with its unit, never an id. */
export function saidOf(visit: VisitView, put: string, value: Json): string {
  const item = itemOf(visit, put);
  if (item !== null) return valueText(visit.bundle, item, put, value);
  if (value === null) return text("phone-item-nothing");
  const amount = Number(value);
  if (/_price$|_rate$|^brief\/value/.test(put) && typeof value !== "object" && amount > 0) {
    return money(amount, visit.text("about/currency"));
  }
  return factText(value) || "–";
}
