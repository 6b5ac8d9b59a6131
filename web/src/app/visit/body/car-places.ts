/**
 * Places of the drawn car, panels and others, and what lies at each: its checks, its photos, and
 * the worst that was found there. Where an item lies the checklist says (`on_car`, `body_map`).
 */

import type { BodyStyle, Grade, Item } from "../../../shared/contract";
import type { Json } from "../../../shared/event";
import { MARK_OF_GRADE, type MarkId } from "../../../shared/marks";
import { photosIn } from "../items/item-record";
import type { VisitView } from "../visit-view";

/** What a car is taken for until somebody says which it is; the judge does the same. */
export const UNKNOWN_STYLE: BodyStyle = "sedan";

export function chosenStyle(visit: VisitView): BodyStyle | null {
  const style = visit.text("car/body_style");
  return style in (visit.bundle.rules.bodies ?? {}) ? (style as BodyStyle) : null;
}

export function styleOf(visit: VisitView): BodyStyle {
  return chosenStyle(visit) ?? UNKNOWN_STYLE;
}

function isNamedAfter(place: string, panel: string): boolean {
  return place === panel || place.startsWith(`${panel}-`);
}

/** Whether a place is on a panel that cars of other styles have and this one has not. */
export function isAbsent(visit: VisitView, place: string): boolean {
  const bodies = visit.bundle.rules.bodies ?? {};
  const own: string[] = bodies[styleOf(visit)] ?? [];
  return Object.values(bodies)
    .flat()
    .some((panel) => !own.includes(panel) && isNamedAfter(place, panel));
}

/** The places of the drawn car that a recorded place of an item lies at: its own, or its panel's. */
function drawnAt(item: Item, place: string, known: readonly string[]): string[] {
  const told: string[] = item.body_map?.places[place] ?? [];
  if (told.length > 0) return told.filter((panel) => known.includes(panel));
  // front-left-outer is a part of front-left, roof-2 of roof
  const parts = place.split("-");
  for (let count = parts.length; count > 0; count -= 1) {
    const name = parts.slice(0, count).join("-");
    if (known.includes(name)) return [name];
  }
  return [];
}

/** Every place that is named within what the judge says. */
export function namedIn(said: Json): string[] {
  if (typeof said !== "object" || said === null) return [];
  return Object.entries(said).flatMap(([key, value]) =>
    (key === "at" || key === "place") && typeof value === "string"
      ? [value]
      : namedIn(value as Json),
  );
}

/** More places than this do not say where. */
const TELLING = 4;

export interface CarPhoto {
  item: Item;
  sha256: string;
}

export interface AtPlace {
  /** Items that lie here. */
  items: Item[];
  /** Those of them that lie everywhere on the sheet metal. */
  anywhere: Item[];
  photos: CarPhoto[];
  /** The worst that was found here and is not repaired; null for no fault. */
  worst: Grade | null;
  /** Whether something that was found here is repaired. */
  isMended: boolean;
}

const FAULTS: Grade[] = ["minor", "major", "dangerous"];

/** Items of the visit whose answers are recorded; the others, without those that do not apply. */
function fitting(visit: VisitView): Item[] {
  return [...visit.items.value, ...visit.unasked.value];
}

/** What lies at each of `known`, the panels and places of this car. */
export function byPlace(
  visit: VisitView,
  panels: readonly string[],
  known: readonly string[],
): Map<string, AtPlace> {
  const all = new Map(
    known.map((place): [string, AtPlace] => [
      place,
      { items: [], anywhere: [], photos: [], worst: null, isMended: false },
    ]),
  );
  const order = new Map(visit.bundle.items.map(({ id }, index) => [id, index]));
  const items = fitting(visit).sort((a, b) => (order.get(a.id) ?? 0) - (order.get(b.id) ?? 0));
  for (const item of items) {
    const lies = itemPlaces(item, panels, known);
    for (const place of lies) all.get(place)?.items.push(item);
    if (isAnywhere(item)) for (const panel of panels) all.get(panel)?.anywhere.push(item);
    for (const photo of photosIn(visit.cellsOf(item.id), item.id)) {
      const cell = visit.value(`items/${item.id}/photos/${photo}`) as { place?: Json } | null;
      const place = typeof cell?.place === "string" ? drawnAt(item, cell.place, known) : [];
      for (const at of place.length > 0 ? place : lies) {
        all.get(at)?.photos.push({ item, sha256: photo });
      }
    }
    note(all, visit, item, lies, known);
  }
  return all;
}

function isAnywhere(item: Item): boolean {
  return item.on_car?.includes("body") === true;
}

/** The places of this car where an item lies, whatever was found. */
export function itemPlaces(
  item: Item,
  panels: readonly string[],
  known: readonly string[],
): string[] {
  const said: string[] = item.on_car ?? [];
  const own = said.filter((place) => known.includes(place));
  if (item.body_map === undefined) return own;
  const measured = item.readings.flatMap(({ at }) => at ?? []);
  const on = measured.flatMap((place) => drawnAt(item, place, known));
  const cards: string[] = item.body_map.panels;
  const there = [...own, ...on, ...cards.filter((panel) => panels.includes(panel))];
  return [...new Set(there)];
}

/** The marks of a place: of the worst found there, or that all of it is repaired. */
export function tagsAt({ worst, isMended }: AtPlace): MarkId[] {
  if (worst !== null) return [MARK_OF_GRADE[worst]];
  return isMended ? ["mended"] : [];
}

/** The fault of an item at the places that the judge's reasons name, or where the item lies. */
function note(
  all: Map<string, AtPlace>,
  visit: VisitView,
  item: Item,
  lies: string[],
  known: readonly string[],
): void {
  const judged = visit.judged(item.id);
  const grade = judged?.grade ?? null;
  if (grade === null || !FAULTS.includes(grade)) return;
  const named = namedIn((judged?.reasons ?? []) as unknown as Json);
  const told = [...new Set(named.flatMap((place) => drawnAt(item, place, known)))];
  const places = told.length > 0 ? told : lies.length > TELLING ? lies.slice(0, 1) : lies;
  for (const place of places) {
    const at = all.get(place);
    if (at === undefined) continue;
    if (visit.mended.value.has(item.id)) at.isMended = true;
    else if (FAULTS.indexOf(grade) > FAULTS.indexOf(at.worst ?? "none")) at.worst = grade;
  }
}
