/**
 * The panels of the body map, and what lies on each: the checklist says it (`body_map` of an item).
 * A checklist that says nothing has on a panel what is measured there.
 */

import type { Item, OnBodyMap, Reading, Said } from "../../../shared/contract";
import type { VisitView } from "../visit-view";

/** Whether a place is named after a panel, as `bonnet-left` and `roof-2` are. */
function isNamedAfter(place: string, panel: string): boolean {
  return place === panel || place.startsWith(`${panel}-`);
}

/** Where an item lies by what is measured, for a checklist that does not say. */
function measuredOn(item: Item, panel: string): OnBodyMap | null {
  const readings = item.readings.filter(({ at }) =>
    at?.some((place) => isNamedAfter(place, panel)),
  );
  if (readings.length === 0) return null;
  const isOf = (quantity: string) => readings.every((reading) => reading.quantity === quantity);
  const show = isOf("film") ? "film" : isOf("code") ? "marks" : "readings";
  return { show, panels: [], places: {} };
}

interface Placed {
  item: Item;
  on: OnBodyMap;
}

/** The items of a checklist that lie on the body map; of one that does not say, on a panel. */
function placedIn(items: Item[], panel: string): Placed[] {
  const placeBy = (where: (item: Item) => OnBodyMap | null | undefined) =>
    items.flatMap((item) => {
      const on = where(item);
      return on == null ? [] : [{ item, on }];
    });
  const placed = placeBy((item) => item.body_map);
  return placed.length > 0 ? placed : placeBy((item) => measuredOn(item, panel));
}

/** An item with only the readings that lie on a panel. */
function narrowed({ item, on }: Placed, panel: string): Item {
  const readings = item.readings.flatMap((reading) => {
    const at = reading.at.filter(
      (place) =>
        isNamedAfter(place, panel) || on.places[place]?.some((name) => name === panel) === true,
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

export function onPanel(visit: VisitView, panel: string): OnPanel {
  const placed = placedIn(visit.bundle.items, panel);
  const shownAs = (...kinds: OnBodyMap["show"][]) =>
    kinds.flatMap((kind) =>
      placed
        .filter(({ on }) => on.show === kind)
        .map((entry) => ({ ...entry, item: narrowed(entry, panel) })),
    );
  const isTaken = ({ item }: Placed) => item.readings.length > 0;
  const cards = shownAs("card").filter(
    (entry) => isTaken(entry) || entry.on.panels.some((name) => name === panel),
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
  /** The film as it stands on the drawing, in the unit of the person who looks. */
  shown: string;
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

function filmItem(visit: VisitView): Item | undefined {
  const { items } = visit.bundle;
  return (
    items.find(({ body_map }) => body_map?.show === "film") ??
    items.find(({ readings }) => readings.some(({ quantity }) => quantity === "film"))
  );
}

/** The reading that the map colors the panels by. */
export function filmReading(visit: VisitView): Reading | undefined {
  return filmItem(visit)?.readings.find(({ quantity }) => quantity === "film");
}

function filmFacts(visit: VisitView) {
  const film = filmItem(visit);
  return film === undefined ? {} : (visit.judged(film.id)?.facts ?? {});
}

/** What a panel shows on the map: the judge's facts, and the marks as they were tapped. */
export function stateOf(
  visit: VisitView,
  panel: string,
  show: (film: string, unit: string) => string,
): PanelState {
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
  const film = text("panel");
  const unit = facts[`panel.${panel}`]?.unit ?? "";
  return {
    film,
    shown: film === "" ? "" : show(film, unit),
    deviation: text("deviation"),
    unit,
    finish: finish === "" ? null : (finish as Finish),
    marks,
  };
}
