/** What is recorded of one item, and the changes that a tap makes to it. */

import type { Bundle, Grade, Item } from "../../../shared/contract";
import type { Cells, Json } from "../../../shared/event";
import { text } from "../../text/catalogue";
import { gradeName, withUnit } from "../../text/names";
import { argument, recordedText } from "../../text/say";
import { NAME } from "../shelf";
import type { Change } from "../visit";
import type { VisitView } from "../visit-view";
import { wireWord } from "./item-wires";

/** Of a stamp: where its device begins. */
export const DEVICE_FROM = 22;

export interface GradeValue {
  grade: Grade;
}

export function gradeValue(visit: VisitView, item: Item): GradeValue | null {
  return visit.value(`items/${item.id}/grade`) as GradeValue | null;
}

/** What the card shows as the item's grade: the judge's word; until it has spoken, the person's. */
export function shownGrade(visit: VisitView, item: Item): Grade | null {
  return visit.judged(item.id)?.grade ?? gradeValue(visit, item)?.grade ?? null;
}

/** Whether an item's OK is one that no figure of this car was held against. */
export function isByEye(visit: VisitView, item: Item): boolean {
  const judged = visit.judged(item.id);
  return judged?.by === "eye" && judged.grade === "none";
}

/** A grade, and its reason: none unless it is given along, for a reason belongs to one grade. */
export function gradeChanges(
  visit: VisitView,
  item: Item,
  grade: Grade | null,
  why: Json = "",
): Change[] {
  const changes: Change[] = [
    { put: `items/${item.id}/grade`, value: grade === null ? null : { grade } },
  ];
  const put = `items/${item.id}/why`;
  if (why !== "" || visit.value(put) !== null) {
    changes.push({ put, value: why === "" ? null : why });
  }
  return changes;
}

/** A choice answers what "not inspected" left open: the two do not stand together. */
export function choiceChanges(visit: VisitView, item: Item, choice: string): Change[] {
  const changes: Change[] = [{ put: `items/${item.id}/choice`, value: choice }];
  if (gradeValue(visit, item)?.grade === "uninspected") {
    changes.push(...gradeChanges(visit, item, null));
  }
  return changes;
}

/** What answers an item; its photos and its note do not, and a figure of the car is the car's. */
const ANSWER = /^items\/[^/]+\/(choice|grade|why|text|readings|wires)(\/|$)/;

/** What makes an item open again: each of its answers taken back, whoever gave it. */
export function clearingChanges(visit: VisitView, item: Item): Change[] {
  return Object.entries(visit.cellsOf(item.id))
    .filter(([put, { value, others }]) => ANSWER.test(put) && (value !== null || others.length > 0))
    .map(([put]) => ({ put, value: null }));
}

/** A value recorded for an item, as this reader says it. */
export function valueText({ rules }: Bundle, item: Item, put: string, value: Json): string {
  if (value === null) return text("phone-item-nothing");
  if (typeof value === "string" && put.endsWith("/choice")) {
    return String(argument({ checklist: ["choice", item.id, value] }, rules));
  }
  const [, , kind, , field = ""] = put.split("/");
  if (kind === "wires" && typeof value === "string") return wireWord(field, value);
  if (kind === "cost") return String(value).replaceAll(",", " – ");
  const record = value as Record<string, Json>;
  if (typeof record.grade === "string") return gradeName(record.grade as Grade);
  if (typeof record.typed === "string") return withUnit(record.typed, String(record.unit ?? ""));
  return recordedText(record.caption ?? value, rules) || "–";
}

/** Hashes of the photos that stand on an item: as a person put them, else as they were taken. */
export function photosIn(cells: Cells, item: string): string[] {
  const prefix = `items/${item}/photos/`;
  return Object.entries(cells)
    .filter(([put, cell]) => put.startsWith(prefix) && cell.value !== null)
    .map(([put, { value, at }]) => {
      const { order = 0, taken = "" } = value as { order?: number; taken?: string };
      return { put, order: Number(order), when: `${taken} ${at}` };
    })
    .sort((a, b) => a.order - b.order || (a.when < b.when ? -1 : 1))
    .map(({ put }) => put.slice(prefix.length));
}

export function photosOf(visit: VisitView, item: string): string[] {
  return photosIn(visit.cellsOf(item), item);
}

/** The name that somebody gave the car, else of whatever is known of make, model and year. */
export function carNameOf(textOf: (put: string) => string): string {
  const given = textOf(NAME).trim();
  if (given !== "") return given;
  const name = ["car/make", "car/model", "car/year"]
    .map((put) => textOf(put))
    .filter((part) => part !== "");
  return name.length === 0 ? text("phone-cars-unnamed") : name.join(" ");
}

export function carName(visit: VisitView): string {
  return carNameOf((put) => visit.text(put));
}

/** A recorded text or number as a text; "" for anything else. */
export function textIn(cells: Cells, put: string): string {
  const value = cells[put]?.value;
  return typeof value === "string" || typeof value === "number" ? String(value) : "";
}
