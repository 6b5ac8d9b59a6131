/**
 * The panels of the body map, and what lies on each: the checklist says it (`body_map` of an item).
 * A checklist that says nothing has on a panel what is measured there.
 */

import type { Item, OnBodyMap, Panel, Reading, Said } from "../../shared/contract";
import type { VisitView } from "./visit-view";

export const PANELS = [
  "bonnet",
  "roof",
  "boot-lid",
  "front-wing-left",
  "front-door-left",
  "rear-door-left",
  "rear-wing-left",
  "sill-left",
  "front-wing-right",
  "front-door-right",
  "rear-door-right",
  "rear-wing-right",
  "sill-right",
] as const satisfies Panel[];

/** Whether a place is named after a panel, as `bonnet-left` and `roof-2` are. */
function isNamedAfter(place: string, panel: Panel): boolean {
  return place === panel || place.startsWith(`${panel}-`);
}

function isMeasuredAtPanels({ at }: Reading): boolean {
  return at.some((place) => PANELS.some((panel) => isNamedAfter(place, panel)));
}

/** Where an item lies by what is measured, for a checklist that does not say. */
function measuredOn(item: Item): OnBodyMap | null {
  const readings = item.readings.filter(isMeasuredAtPanels);
  if (readings.length === 0) return null;
  const isOf = (quantity: string) => readings.every((reading) => reading.quantity === quantity);
  const show = isOf("film") ? "film" : isOf("code") ? "marks" : "readings";
  return { show, panels: [], places: {} };
}

interface Placed {
  item: Item;
  on: OnBodyMap;
}

/** The items of a checklist that lie on the body map. */
function placedIn(items: Item[]): Placed[] {
  const placeBy = (where: (item: Item) => OnBodyMap | null | undefined) =>
    items.flatMap((item) => {
      const on = where(item);
      return on == null ? [] : [{ item, on }];
    });
  const placed = placeBy((item) => item.body_map);
  return placed.length > 0 ? placed : placeBy(measuredOn);
}

/** An item with only the readings that lie on a panel. */
function narrowed({ item, on }: Placed, panel: Panel): Item {
  const readings = item.readings.flatMap((reading) => {
    const at = reading.at.filter(
      (place) => isNamedAfter(place, panel) || on.places[place] === panel,
    );
    return at.length === 0 ? [] : [{ ...reading, at }];
  });
  return { ...item, readings };
}

export interface OnPanel {
  /** Items whose readings are taken on this panel, paint first; with only those readings. */
  readings: Item[];
  /** Items whose readings are marks: each is on or off. */
  marks: Item[];
  /** Items whose answer stands for the panel. */
  cards: Item[];
}

export function onPanel(visit: VisitView, panel: Panel): OnPanel {
  const placed = placedIn(visit.bundle.items);
  const shownAs = (...kinds: OnBodyMap["show"][]) =>
    kinds.flatMap((kind) =>
      placed
        .filter(({ on }) => on.show === kind)
        .map((entry) => ({ ...entry, item: narrowed(entry, panel) })),
    );
  const isTaken = ({ item }: Placed) => item.readings.length > 0;
  const cards = shownAs("card").filter(
    (entry) => isTaken(entry) || entry.on.panels.includes(panel),
  );
  return {
    readings: shownAs("film", "readings")
      .filter(isTaken)
      .map(({ item }) => item),
    marks: shownAs("marks")
      .filter(isTaken)
      .map(({ item }) => item),
    cards: cards.map(({ item }) => item),
  };
}

export type Finish = "original" | "repainted" | "filler" | "thin" | "no-reading";

export interface PanelState {
  /** Paint film in `unit`, as text; "" while there is no reading. */
  film: string;
  /** From the car's own baseline, in `unit`. */
  deviation: string;
  /** The one in which the film was read. */
  unit: string;
  finish: Finish | null;
  /** Marks that are on: names of readings, and their titles. */
  marks: { id: string; title: string }[];
}

/** What the judge says of the car's paint as a whole; undefined while there is no reading. */
export function paintBaseline(visit: VisitView): Said | undefined {
  return filmFacts(visit).baseline?.said;
}

function filmItem(visit: VisitView) {
  return placedIn(visit.bundle.items).find(({ on }) => on.show === "film");
}

/** The reading that the map colors the panels by. */
export function filmReading(visit: VisitView): Reading | undefined {
  return filmItem(visit)?.item.readings.find(({ quantity }) => quantity === "film");
}

function filmFacts(visit: VisitView) {
  const film = filmItem(visit);
  return film === undefined ? {} : (visit.judged(film.item.id)?.facts ?? {});
}

/** What a panel shows on the map: the judge's facts, and the marks as they were tapped. */
export function stateOf(visit: VisitView, panel: Panel): PanelState {
  const facts = filmFacts(visit);
  const text = (name: string) => {
    const value = facts[`${name}.${panel}`]?.value;
    return value === undefined || value === null ? "" : String(value);
  };
  const finish = text("finish");
  const marks = onPanel(visit, panel).marks.flatMap((item) =>
    item.readings
      .filter(({ id }) => visit.value(`items/${item.id}/readings/${id}/${panel}`) !== null)
      .map(({ id, title }) => ({ id, title })),
  );
  return {
    film: text("panel"),
    deviation: text("deviation"),
    unit: facts[`panel.${panel}`]?.unit ?? "",
    finish: finish === "" ? null : (finish as Finish),
    marks,
  };
}
